//! Some pages of a file that was made before, without making it again.
//!
//! The file stays as it is; a new list of its pages is added at its end (ISO 32000-1, 7.5.6, incremental
//! updates). So a sheet that is printed once more is the same sheet.

/// A page tree of ours is this object; see `pdf.rs`.
const TREE: &[u8] = b"\n2 0 obj";

fn find(all: &[u8], what: &[u8]) -> Option<usize> {
    all.windows(what.len()).position(|w| w == what)
}

fn find_last(all: &[u8], what: &[u8]) -> Option<usize> {
    all.windows(what.len()).rposition(|w| w == what)
}

fn between<'a>(all: &'a [u8], from: &[u8], to: &[u8]) -> Option<&'a str> {
    let start = find(all, from)? + from.len();
    let end = start + find(&all[start..], to)?;
    std::str::from_utf8(&all[start..end]).ok()
}

/// How many pages a file of ours has.
pub fn page_count(pdf: &[u8]) -> Option<usize> {
    Some(kids(pdf)?.len())
}

fn kids(pdf: &[u8]) -> Option<Vec<&str>> {
    let tree = find(pdf, TREE)?;
    let list = between(&pdf[tree..], b"/Kids [", b"]")?;
    let refs: Vec<&str> = list
        .split(" R")
        .map(str::trim)
        .filter(|r| !r.is_empty())
        .collect();
    refs.iter()
        .all(|r| r.bytes().all(|b| b.is_ascii_digit() || b == b' '))
        .then_some(refs)
}

/// The same file with only these pages, counted from 1, in this order; nothing when it is not a file of
/// ours or has no such page.
pub fn picked_pages(pdf: &[u8], pages: &[usize]) -> Option<Vec<u8>> {
    let all = kids(pdf)?;
    let mut list = Vec::new();
    for page in pages {
        list.push(format!("{} R", all.get(page.checked_sub(1)?)?));
    }
    if list.is_empty() {
        return None;
    }
    let at = find_last(pdf, b"startxref")?;
    let previous: usize = std::str::from_utf8(&pdf[at + 9..])
        .ok()?
        .split_whitespace()
        .next()?
        .parse()
        .ok()?;
    let trailer = find_last(&pdf[..at], b"trailer")?;
    let held = between(&pdf[trailer..at], b"<<", b">>")?;
    if held.contains("/Prev") {
        return None;
    }
    let mut out = pdf.to_vec();
    if out.last() != Some(&b'\n') {
        out.push(b'\n');
    }
    let object = out.len();
    out.extend_from_slice(
        format!(
            "2 0 obj\n<<\n  /Type /Pages\n  /Kids [{}]\n  /Count {}\n>>\nendobj\n",
            list.join(" "),
            list.len()
        )
        .as_bytes(),
    );
    let table = out.len();
    out.extend_from_slice(
        format!(
            "xref\n2 1\n{object:010} 00000 n \ntrailer\n<<{held}  /Prev {previous}\n>>\nstartxref\n{table}\n%%EOF"
        )
        .as_bytes(),
    );
    Some(out)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;
    use crate::order::Paper;
    use crate::samples;

    #[test]
    fn picked_pages_stand_behind_the_file_as_it_was() {
        let order = samples::order();
        let pdf = crate::pattern_pdf(&order, Paper::A4).unwrap();
        let many = page_count(&pdf).unwrap();
        let parts = crate::pattern_pages(&order, Paper::A4).unwrap();
        assert_eq!(many, parts.covers + parts.sheets + parts.steps);
        let picked = picked_pages(&pdf, &[2, 3]).unwrap();
        assert!(picked.starts_with(&pdf), "the sheet is another");
        assert_eq!(picked_pages(&pdf, &[0]), None);
        assert_eq!(picked_pages(&pdf, &[many + 1]), None);
        assert_eq!(picked_pages(&pdf, &[]), None);
        assert_eq!(picked_pages(b"not a file", &[1]), None);
    }

    #[test]
    fn the_map_names_each_printed_sheet_once_and_its_page() {
        let order = samples::order();
        let map = crate::tile_map(&order, Paper::A4).unwrap();
        let tiles: Vec<_> = map.pieces.iter().flat_map(|p| &p.tiles).collect();
        assert_eq!(tiles.len(), map.pages.sheets);
        for (i, tile) in tiles.iter().enumerate() {
            assert_eq!(tile.page, map.pages.covers + 1 + i, "{}", tile.name);
        }
    }
}
