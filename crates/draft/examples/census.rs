//! Counts notes per single slip: `census FILE…`.
use std::collections::BTreeMap;
fn main() {
    let library: Vec<String> = std::fs::read_dir("methods")
        .unwrap()
        .flatten()
        .filter_map(|e| std::fs::read_to_string(e.path()).ok())
        .collect();
    let library = draft::Library::new(library.iter().map(String::as_str));
    let only = std::env::var("SHOW").ok();
    let mut hist: BTreeMap<(String, usize), usize> = BTreeMap::new();
    for f in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&f).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let mut try_it = |kind: &str, changed: String, what: String| {
            let r = draft::read(&changed);
            let notes = draft::check(&r, &library);
            *hist.entry((kind.into(), notes.len())).or_default() += 1;
            if notes.len() > 1 && only.as_deref().is_none_or(|o| o == kind) {
                println!("=== {kind}: {what}");
                for n in &notes {
                    println!("   {}: {}", n.span.line, n.says());
                }
            }
        };
        for i in 0..lines.len() {
            if lines[i].trim().is_empty() {
                continue;
            }
            let mut l: Vec<String> = lines.iter().map(|s| s.to_string()).collect();
            l.remove(i);
            try_it("line left out", l.join("\n"), lines[i].into());
            let mut l: Vec<String> = lines.iter().map(|s| s.to_string()).collect();
            if i + 1 < l.len() && !lines[i + 1].trim().is_empty() {
                l.swap(i, i + 1);
                try_it("lines swapped", l.join("\n"), lines[i].into());
            }
            if lines[i].trim().starts_with("why") {
                continue;
            }
            let words: Vec<&str> = lines[i].split(' ').collect();
            for w in 0..words.len() {
                if words[w].is_empty() {
                    continue;
                }
                let mut l: Vec<String> = lines.iter().map(|s| s.to_string()).collect();
                let mut ww = words.clone();
                ww.remove(w);
                l[i] = ww.join(" ");
                try_it(
                    "word left out",
                    l.join("\n"),
                    format!("{} -- {}", words[w], lines[i]),
                );
                let c: Vec<char> = words[w].chars().collect();
                if c.len() > 3 && c[0].is_alphabetic() && !lines[i][..].contains('"') {
                    let mut cc = c.clone();
                    cc.swap(1, 2);
                    if cc != c {
                        let mut ww: Vec<String> = words.iter().map(|s| s.to_string()).collect();
                        ww[w] = cc.iter().collect();
                        l[i] = ww.join(" ");
                        try_it("letters swapped", l.join("\n"), l[i].clone());
                    }
                }
            }
            for (k, c) in lines[i].char_indices() {
                if ",:()|".contains(c) {
                    let mut l: Vec<String> = lines.iter().map(|s| s.to_string()).collect();
                    l[i].remove(k);
                    try_it(&format!("sign {c} left out"), l.join("\n"), l[i].clone());
                }
            }
        }
    }
    for ((k, n), c) in hist {
        println!("{k:20} {n} notes: {c}");
    }
}
