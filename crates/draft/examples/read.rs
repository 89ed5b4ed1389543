//! Reads a file and prints its notes.
fn main() {
    for f in std::env::args().skip(1) {
        let t = std::fs::read_to_string(&f).unwrap();
        let r = draft::read(&t);
        println!(
            "{f}: {} notes, {} items",
            r.notes.len(),
            r.method.body.len()
        );
        for n in &r.notes {
            println!("{}", n.shown(&f, &t));
        }
    }
}
