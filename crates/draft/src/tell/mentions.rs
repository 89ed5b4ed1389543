//! What an entry names: every reference in its parts, sums and brackets.

use crate::tree::{Arg, Drawn, EdgeRef, Expr, ExprKind, Part, Ref, Value, ValueForm, Way};

/// All that an entry's parts name.
pub(super) fn named_in(parts: &[Part], out: &mut dyn FnMut(&Ref)) {
    for part in parts {
        for arg in &part.args {
            match arg {
                Arg::Number(expr) => in_sum(expr, out),
                Arg::Drawn(d) => in_drawn(d, out),
                Arg::Several(all) => all.iter().for_each(|d| in_drawn(d, out)),
                Arg::Edge(e) => in_edge(e, out),
                Arg::Edges(all) => all.iter().for_each(|e| in_edge(e, out)),
                Arg::Way(way) => match way {
                    Way::Square(d) | Way::Toward(d) | Way::Along(d) => in_drawn(d, out),
                    _ => {}
                },
                Arg::Free(r) => out(r),
                Arg::Word(..) | Arg::Text(_) => {}
            }
        }
    }
}

fn in_drawn(drawn: &Drawn, out: &mut dyn FnMut(&Ref)) {
    match drawn {
        Drawn::Named(r) => out(r),
        Drawn::Bracket(body) => named_in(&body.parts, out),
        Drawn::EndOf(_, of, _) => in_drawn(of, out),
    }
}

fn in_edge(edge: &EdgeRef, out: &mut dyn FnMut(&Ref)) {
    in_drawn(&edge.line, out);
    if let Some(between) = &edge.between {
        in_drawn(&between.0, out);
        in_drawn(&between.1, out);
    }
}

/// All that a sum names.
pub(super) fn in_sum(expr: &Expr, out: &mut dyn FnMut(&Ref)) {
    match &expr.kind {
        ExprKind::Named(r) => out(r),
        ExprKind::Minus(e)
        | ExprKind::Not(e)
        | ExprKind::Bracket(e)
        | ExprKind::Share(_, _, e)
        | ExprKind::Is(e, _) => in_sum(e, out),
        ExprKind::Reckon(_, a, b, _)
        | ExprKind::Compare(_, a, b, _)
        | ExprKind::And(a, b)
        | ExprKind::Or(a, b) => {
            in_sum(a, out);
            in_sum(b, out);
        }
        ExprKind::Function(_, args) => args.iter().for_each(|e| in_sum(e, out)),
        ExprKind::LengthOf(e) => in_edge(e, out),
        ExprKind::Between(_, ends) => {
            in_drawn(&ends.0, out);
            in_drawn(&ends.1, out);
        }
        ExprKind::Figure(..) | ExprKind::YesNo(_) | ExprKind::Spoilt => {}
    }
}

/// All that a value names.
pub(super) fn in_value(value: &Value, out: &mut dyn FnMut(&Ref)) {
    match &value.form {
        ValueForm::Cases(cases) => {
            for (sum, when) in cases {
                in_sum(sum, out);
                if let Some(when) = when {
                    in_sum(when, out);
                }
            }
        }
        ValueForm::Found {
            low,
            high,
            left,
            right,
        } => {
            for sum in [low, high, left, right] {
                in_sum(sum, out);
            }
        }
    }
}
