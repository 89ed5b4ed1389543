//! A lay as its sheet and its file say it: the lay to cut by, and `lay.json` (docs/lay.md).

use lay::compare::{Change, LeftOut, Way};
use lay::laid::{Laid, LaidPiece, Layers};
use lay::{Fold, Nap, Runs};
use measure::Length;
use measure::fraction::Shown;
use serde_json::{Value, json};
use sheet::words::{ENGLISH, Words, fill};
use sheet::{ClothFold, ClothLay, ClothLayers, ClothPiece, ClothScrap, Fact};

use crate::cut_list::CutList;
use crate::glossary;
use crate::json::{maybe, mm, number};
use crate::laying::{Found, Other, Sums, left_over, missing};

/// The sheet of a lay, in a language.
pub(crate) fn sheet(
    found: &Found,
    list: &CutList,
    kind: &str,
    code: &str,
    (shown, words): (Shown, &'static Words),
) -> ClothLay {
    let (laid, cloth) = (&found.laid, &found.cloth);
    let shrunk = |l: Length, by: f64| l * (1.0 - by.clamp(0.0, 0.5));
    // What she has lies there, where it is enough: then nothing is bought.
    let there = cloth
        .in_hand
        .filter(|_| matches!(found.in_hand, Some((true, _))));
    ClothLay {
        title: list.title(words),
        code: code.to_owned(),
        client: Some(&list.client)
            .filter(|name| sheet::can_set(name))
            .cloned()
            .unwrap_or_default(),
        version: list.version.clone(),
        part: glossary::cloth(kind, words).to_owned(),
        cloth: cloth.name.clone(),
        shown,
        width: Length::mm(laid.usable + 2.0 * laid.selvedge),
        sold_wide: cloth.width.filter(|_| cloth.shrink_across > 0.0),
        selvedge: Length::mm(laid.selvedge),
        fold: match laid.fold {
            Fold::None => ClothFold::Flat,
            Fold::Lengthwise | Fold::Part => ClothFold::Folded,
            Fold::Double => ClothFold::Double,
            Fold::Crosswise => ClothFold::Crosswise,
        },
        turned_in: laid.turned_in.map(|t| Length::mm(t[0])),
        flat_from: laid.flat_from.map(Length::mm),
        length: Length::mm(laid.length),
        ends: (!matches!(laid.fold, Fold::Double | Fold::Crosswise))
            .then(|| there.or(found.purchase.map(|p| p.bought())))
            .flatten()
            .map(|long| shrunk(long, cloth.shrink_along)),
        across: laid.runs == Runs::Across,
        one_way: cloth.nap == Nap::OneWay,
        flaws: laid.flaws.clone(),
        pieces: laid.pieces.iter().map(|p| piece(p, words)).collect(),
        scraps: laid
            .scraps
            .iter()
            .map(|s| ClothScrap {
                number: s.number,
                wide: Length::mm(s.wide),
                long: Length::mm(s.long),
                pieces: s.pieces.iter().map(|p| piece(p, words)).collect(),
            })
            .collect(),
        buy: found
            .purchase
            .filter(|_| there.is_none())
            .map(|p| words.locale.figure(&p.to_string())),
        enough: there.is_some(),
        facts: facts(found, shown, words),
        remarks: remarks(found, shown, words),
        words,
    }
}

/// The name of a piece; that it is a part joined on is said in the language of the sheet.
fn named(name: &str, words: &Words) -> String {
    name.replacen(lay::join::JOINED, words.lay_joined_part, 1)
}

fn piece(p: &LaidPiece, words: &Words) -> ClothPiece {
    ClothPiece {
        name: named(&p.name, words),
        copy: (p.copy, p.of),
        outline: p.outline.clone(),
        grain: p.grain,
        head_to_foot: p.head_to_foot,
        face_down: p.face_down,
        opened_out: p.opened_out,
        layers: match p.layers {
            Layers::One => ClothLayers::One,
            Layers::Two => ClothLayers::Two,
            Layers::Fold => ClothLayers::Fold,
        },
        on_opened: p.on_opened(),
        notches: p.notches.clone(),
        joins: p.joins.clone(),
    }
}

/// What stands under what to buy: the lay, and the margin apart from it.
fn facts(found: &Found, shown: Shown, words: &Words) -> Vec<Fact> {
    let length = |l: Length| words.locale.length(l, shown);
    let mut out = Vec::new();
    let mut add = |label: &str, value: String| {
        out.push(Fact {
            label: label.to_owned(),
            value,
        });
    };
    let takes = found.laid.takes();
    // As the page rounds them, so that paper and page say the same.
    let sums = found.purchase.map(|p| Sums::of(takes, &p, shown));
    add(words.lay_takes, length(sums.map_or(takes, |s| s.lay)));
    for (says, share) in [
        (words.lay_shrinks, found.cloth.shrink_along),
        (words.lay_shrinks_across, found.cloth.shrink_across),
    ] {
        if share > 0.0 {
            let percent = number(share * 100.0).to_string();
            let percent = words.locale.figure(percent.trim_end_matches(".0"));
            add(says, format!("{percent}\u{a0}%"));
        }
    }
    if let Some(sums) = sums {
        if found.cloth.shrink_along > 0.0 {
            add(words.lay_before, length(sums.lay + sums.shrinking));
        }
        add(words.lay_margin, length(sums.margin));
    }
    if let Some((fits, over)) = found.in_hand {
        let said = if fits {
            fill(words.lay_fits, &[("left", &length(left_over(over, shown)))])
        } else {
            fill(words.lay_short, &[("short", &length(missing(over, shown)))])
        };
        add(words.lay_has, said);
    }
    if let Some(cost) = found.cost {
        let said = words.locale.figure(&cost.to_string());
        add(words.lay_costs, said.replace(' ', "\u{a0}"));
    }
    out
}

fn remarks(found: &Found, shown: Shown, words: &Words) -> Vec<String> {
    let length = |l: Length| words.locale.length(l, shown);
    let laid = &found.laid;
    let mut out = Vec::new();
    if found.stretch_down {
        out.push(words.lay_stretch.to_owned());
    }
    out.extend(flaws_behind(found, shown, words));
    out.extend(joins(laid, shown, words));
    out.extend(scraps(laid, shown, words));
    let bought = found.cloth.repeat.filter(|_| !laid.all_on_scraps());
    if let (Some(bought), Some(repeat)) = (bought, found.cloth.repeat_as_cut()) {
        let (repeat, bought) = (length(repeat), length(bought));
        let said = if found.cloth.shrink_along > 0.0 {
            words.lay_repeat_shrunk
        } else {
            words.lay_repeat
        };
        out.push(fill(said, &[("repeat", &repeat), ("bought", &bought)]));
    }
    for left in left(found).into_iter().take(2) {
        let [x0, y0, x1, y1] = left.place;
        let from_fold = matches!(laid.fold, Fold::Lengthwise | Fold::Part);
        let folded = left.doubled && from_fold;
        let edge = if folded { y0 } else { y0 + laid.selvedge };
        let said = if folded {
            words.lay_left_fold
        } else {
            words.lay_left
        };
        out.push(fill(
            said,
            &[
                ("long", &length(Length::mm(x1 - x0))),
                ("wide", &length(Length::mm(y1 - y0))),
                ("from", &length(Length::mm(x0))),
                ("edge", &length(Length::mm(edge))),
            ],
        ));
    }
    if let Some(thumb) = found.thumb {
        let saves = thumb - laid.takes();
        out.push(if saves > Length::ZERO {
            fill(
                words.lay_thumb,
                &[("thumb", &length(thumb)), ("saves", &length(saves))],
            )
        } else {
            fill(words.lay_thumb_more, &[("thumb", &length(thumb))])
        });
    }
    out
}

/// Flaws that lie behind both of two lengths as they were told, a sentence for each.
pub(crate) fn flaws_behind(found: &Found, shown: Shown, words: &Words) -> Vec<String> {
    let said = |i: usize| {
        let along = words.locale.length(found.cloth.flaws.get(i)?.along, shown);
        Some(fill(words.lay_flaw_behind, &[("along", &along)]))
    };
    let behind = found.laid.flaws_behind();
    behind.into_iter().filter_map(said).collect()
}

/// What is cut from which scrap, a sentence for each.
pub(crate) fn scraps(laid: &Laid, shown: Shown, words: &Words) -> Vec<String> {
    let length = |mm: f64| words.locale.length(Length::mm(mm), shown);
    let said = |s: &lay::scraps::OnScrap| {
        let mut each: Vec<(&str, usize)> = Vec::new();
        for p in &s.pieces {
            match each.iter_mut().find(|e| e.0 == p.name) {
                Some(e) => e.1 += 1,
                None => each.push((&p.name, 1)),
            }
        }
        let names: Vec<String> = each
            .iter()
            .map(|(name, many)| match many {
                1 => named(name, words),
                _ => format!("{many} × {}", named(name, words)),
            })
            .collect();
        fill(
            words.lay_on_scrap,
            &[
                ("number", &s.number.to_string()),
                ("wide", &length(s.wide)),
                ("long", &length(s.long)),
                ("pieces", &names.join(", ")),
            ],
        )
    };
    laid.scraps.iter().map(said).collect()
}

/// How pieces are joined, a sentence for each.
pub(crate) fn joins(laid: &Laid, shown: Shown, words: &Words) -> Vec<String> {
    let length = |l: Length| words.locale.length(l, shown);
    let mut out: Vec<String> = Vec::new();
    for join in &laid.joins {
        let said = fill(
            if join.count > 1 {
                words.lay_joins
            } else {
                words.lay_join
            },
            &[
                ("name", &check::told::capital(&join.piece)),
                ("count", &join.count.to_string()),
                ("wide", &length(join.size.0)),
                ("long", &length(join.size.1)),
                ("from", &length(join.begins)),
                ("allowance", &length(join.allowance)),
            ],
        );
        // Alike on both sides, it is said once.
        if !out.contains(&said) {
            out.push(said);
        }
    }
    out
}

/// What is left of the cloth that is bought.
fn left(found: &Found) -> Vec<lay::laid::Left> {
    let shrink = 1.0 - found.cloth.shrink_along.clamp(0.0, 0.5);
    let there = found
        .purchase
        .map_or(found.laid.takes(), |p| p.bought() * shrink);
    found.laid.left(there)
}

/// `lay.json`.
pub(crate) fn file(
    found: &Found,
    list: &CutList,
    kind: &str,
    others: &[Other],
    seed: u64,
) -> Value {
    let (laid, cloth) = (&found.laid, &found.cloth);
    let pieces: Vec<Value> = laid
        .pieces
        .iter()
        .enumerate()
        .map(|(i, p)| place(p, i + 1))
        .collect();
    let mut cut_as = laid.pieces.len();
    let mut on_scraps: Vec<Value> = Vec::new();
    for scrap in &laid.scraps {
        let mut pieces: Vec<Value> = Vec::new();
        for p in &scrap.pieces {
            cut_as += 1;
            pieces.push(place(p, cut_as));
        }
        on_scraps.push(json!({
            "number": scrap.number,
            "wide_mm": number(scrap.wide),
            "long_mm": number(scrap.long),
            "pieces": pieces,
        }));
    }
    let others: Vec<Value> = others.iter().map(other).collect();
    json!({
        "format": 1,
        "method": list.title(&ENGLISH),
        "client": list.client,
        "version": list.version,
        "for": kind,
        "cloth": {
            "name": cloth.name,
            "width_mm": maybe(cloth.width),
            "usable_mm": number(laid.usable),
            "selvedge_mm": number(laid.selvedge),
            "fold": laid.fold.word(),
            "turned_in_mm": laid.turned_in.map(|t| t.map(number)),
            "nap": if cloth.nap == Nap::OneWay { "one-way" } else { "two-way" },
            "length_runs": if laid.runs == Runs::Across { "across" } else { "along" },
            "repeat_mm": maybe(cloth.repeat_as_cut()),
            "shrink_along": number(cloth.shrink_along),
            "shrink_across": number(cloth.shrink_across),
            "flaws_mm": laid.flaws,
        },
        "length_mm": mm(laid.takes()),
        "table_mm": number(laid.length),
        "flat_from_mm": laid.flat_from.map_or(Value::Null, number),
        "cover": number(laid.cover),
        "buy": found.purchase.map_or(Value::Null, |p| json!({
            "amount": p.to_string(),
            "lay_mm": mm(p.lay),
            "margin_mm": mm(p.margin),
            "step": p.step.name(),
            "bought_mm": mm(p.bought()),
            "over_mm": mm(p.over()),
        })),
        "cost": found.cost.map(|c| c.to_string()),
        "at_hand": found.in_hand.map(|(fits, over)| json!({
            "fits": fits,
            "left_mm": if fits { mm(over) } else { Value::Null },
            "short_mm": if fits { Value::Null } else { mm(over) },
        })),
        "thumb_mm": maybe(found.thumb),
        "asks": asks(found, Shown::usual(list.unit)),
        "joins": laid.joins.iter().map(join).collect::<Vec<_>>(),
        "pieces": pieces,
        "scraps": on_scraps,
        "left_mm": left(found).iter().map(|l| json!({"place": l.place.map(number), "doubled": l.doubled})).collect::<Vec<_>>(),
        "compare": others,
        "seed": seed,
        "steps": found.steps,
    })
}

fn asks(found: &Found, shown: Shown) -> Vec<String> {
    let stretch = found.stretch_down.then(|| ENGLISH.lay_stretch.to_owned());
    // On paper no line may part a number from its unit; a file has no lines.
    let flaws = flaws_behind(found, shown, &ENGLISH)
        .into_iter()
        .map(|said| said.replace('\u{a0}', " "));
    stretch.into_iter().chain(flaws).collect()
}

/// A join, on the paper of the report: x right, y down.
fn join(j: &lay::join::Join) -> Value {
    let points = |all: &[[f64; 2]]| -> Value { all.iter().map(|q| json!(q.map(number))).collect() };
    json!({
        "piece": j.piece,
        "part": j.part,
        "count": j.count,
        "line_mm": points(&j.line),
        "allowance_mm": mm(j.allowance),
        "begins_mm": mm(j.begins),
        "part_mm": [mm(j.size.0), mm(j.size.1)],
        "piece_grain_mm": points(&j.grain[0]),
        "part_grain_mm": points(&j.grain[1]),
    })
}

fn place(p: &LaidPiece, cut_as: usize) -> Value {
    let points = |all: &[[f64; 2]]| -> Value { all.iter().map(|q| json!(q.map(number))).collect() };
    json!({
        "number": cut_as,
        "name": p.name,
        "copy": p.copy,
        "of": p.of,
        "layers": match p.layers { Layers::One => "one", Layers::Two => "two", Layers::Fold => "fold" },
        "opened_out": p.opened_out,
        "on_opened_end": p.on_opened(),
        "turn_deg": number(p.turn),
        "head_to_foot": p.head_to_foot,
        "face_down": p.face_down,
        "outline_mm": points(&p.outline),
        "grain_mm": points(&p.grain),
        "notches_mm": p.notches.iter().map(|(n, snips)| json!({"at": n[0].map(number), "snips": snips})).collect::<Vec<_>>(),
        "joins_mm": p.joins.iter().map(|j| points(j)).collect::<Vec<_>>(),
    })
}

/// A way to lay, in words.
pub(crate) fn way(change: Change, shown: Shown) -> String {
    match change {
        Change::None => "as the cloth says".into(),
        Change::Along => "length along the selvedge".into(),
        Change::Across => "length across the cloth".into(),
        Change::Flat => "laid flat, one layer".into(),
        Change::Folded => "folded along its length".into(),
        Change::FoldedPart => "a part of its width folded".into(),
        Change::OneWay => "all tops one way".into(),
        Change::Width(width) => format!("cloth {} wide", measure::fraction::show(width, shown)),
    }
}

/// What a way leaves out of what she said of her cloth, in words.
pub(crate) fn left_out(way: &Way) -> Vec<&'static str> {
    let said = |left: &LeftOut| match left {
        LeftOut::Flaws => "without the flaws of your piece",
        LeftOut::InHand => "what you have is not of this width",
        LeftOut::FoldDepth => "folded as deep as the pieces ask",
    };
    way.left_out.iter().map(said).collect()
}

fn other(o: &Other) -> Value {
    let without = o.way.left_out.iter().map(|left| match left {
        LeftOut::Flaws => "flaws",
        LeftOut::InHand => "in_hand",
        LeftOut::FoldDepth => "fold_depth",
    });
    let mut out = json!({
        "way": way(o.way.change, Shown::inches()),
        "without": without.collect::<Vec<_>>(),
        "asks_about_stretch": o.way.stretch_down,
    });
    let more = match &o.found {
        Ok(f) => json!({
            "length_mm": mm(f.laid.takes()),
            "amount": f.purchase.map(|p| p.to_string()),
            "cost": f.cost.map(|c| c.to_string()),
            "outlines": f.care.outlines,
            "care": f.care.weight(),
            "steps": f.steps,
        }),
        Err(why) => json!({ "why_not": why }),
    };
    if let (Some(all), Some(more)) = (out.as_object_mut(), more.as_object()) {
        all.extend(more.clone());
    }
    out
}
