#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
use super::*;

#[test]
fn zz_pictures() {
    let Ok(out) = std::env::var("PICTURES") else { return };
    let css = std::fs::read_to_string("/tmp/teach.css").unwrap();
    for (m, text) in crate::shelf::SHIPPED {
        let card = measure::card::read(&std::fs::read_to_string("../../examples/cards/demo.toml").unwrap(), &[]).unwrap();
        let library = draft::Library::new(crate::shelf::SHIPPED.iter().map(|(_, t)| *t));
        let w = draft::work(&draft::read(text), &library, &draft::Wish { card: &card, set: &[], predict: false, untrued: false, shown: Shown::inches() });
        if !w.sound() { println!("{m}: {:?}", w.faults); continue; }
        for s in &w.steps {
            let Some(n) = s.number else { continue };
            let how = How { step: n, shown: Shown::inches(), hidden: false, id: "d" };
            let Some(svg) = sofar(&w, &how) else { println!("{m} {n}: no drawing: {}", s.short); continue };
            let svg = svg.into_string().replacen("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", 1).replacen("<title", &format!("<style>{css}</style><title"), 1);
            std::fs::write(format!("{out}/{m}-{n:02}.svg"), svg).unwrap();
        }
    }
}
