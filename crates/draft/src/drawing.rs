//! What each step drew, as it lies on the paper in the end: final, trued places, sheet by sheet.

use measure::{Length, Point};

use crate::state::Walker;
use crate::walk::{Key, Thing};
use crate::worked::{Drawn, Shape, Step};

/// Everything that the steps drew, in the order of the sheets and of the work on them.
pub(crate) fn drawn(walker: &Walker<'_>, steps: &[Step]) -> Vec<Drawn> {
    let mut by: Vec<(&(String, String), Option<u32>)> = steps
        .iter()
        .flat_map(|s| s.draws.iter().map(move |d| (d, s.number)))
        .collect();
    by.sort_by(|a, b| a.0.cmp(b.0));
    let mut out = Vec::new();
    gather(walker, "", &by, &mut out);
    out
}

/// The step that drew a thing of a sheet; nothing when no step tells of it.
fn step_of(by: &[(&(String, String), Option<u32>)], sheet: &str, name: &str) -> Option<u32> {
    by.binary_search_by(|(d, _)| (d.0.as_str(), d.1.as_str()).cmp(&(sheet, name)))
        .ok()
        .and_then(|i| by[i].1)
}

fn gather(
    walker: &Walker<'_>,
    of: &str,
    by: &[(&(String, String), Option<u32>)],
    out: &mut Vec<Drawn>,
) {
    for sub in &walker.subs {
        let of = format!(" of {}{of}", sub.name.shown());
        gather(&sub.walker, &of, by, out);
    }
    for scope in walker.scopes.iter().skip(1) {
        let own = scope.key.as_ref().map_or_else(String::new, Key::shown);
        let sheet = format!("{own}{of}");
        let group = walker.scopes.get(scope.first_of_group);
        let group = group.and_then(|s| s.key.as_ref());
        let group = format!("{}{of}", group.map_or_else(String::new, Key::shown));
        for held in &scope.drawn.all {
            let name = held.key.shown();
            let Some(step) = step_of(by, &sheet, &name) else {
                continue;
            };
            let shape = match &held.what {
                Thing::Level(y) => Shape::Level(*y),
                Thing::Upright(x) => Shape::Upright(*x),
                Thing::Point(p) => Shape::Point(*p),
                Thing::Line(curve) => Shape::Line {
                    curve: curve.as_ref().clone(),
                    edge: scope.edges.contains(&held.key),
                    softened: scope
                        .softened
                        .iter()
                        .filter(|(line, _)| *line == held.key)
                        .map(|(_, point)| point.shown())
                        .collect(),
                },
                Thing::Dart(dart) => {
                    let Some(Thing::Line(curve)) = scope.drawn.get(&dart.edge).map(|h| &h.what)
                    else {
                        continue;
                    };
                    let at = |d: f64| -> Point {
                        curve.at(Length::try_mm(d).unwrap_or(Length::ZERO)).point
                    };
                    Shape::Dart {
                        edge: dart.edge.shown(),
                        mouth: (at(dart.mouth.0), at(dart.mouth.1)),
                        tip: dart.tip,
                    }
                }
                Thing::Unknown(_) => continue,
            };
            out.push(Drawn {
                sheet: sheet.clone(),
                group: group.clone(),
                name,
                step,
                body: held.body.as_ref().map(ToString::to_string),
                shape,
            });
        }
    }
}
