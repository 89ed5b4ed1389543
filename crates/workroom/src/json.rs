//! Answers for programs: JSON laid out so that a person can read it too.

use measure::{Length, Point};
use serde_json::Value;

/// The widest line that a whole value is set on.
const WIDE: usize = 110;

/// Millimetres, to a ten-thousandth: nothing that is measured with this is finer.
pub(crate) fn mm(length: Length) -> Value {
    number(length.in_mm())
}

/// A length that may be missing.
pub(crate) fn maybe(length: Option<Length>) -> Value {
    length.map_or(Value::Null, mm)
}

/// A number to a ten-thousandth, without a minus before nothing.
pub(crate) fn number(value: f64) -> Value {
    let rounded = (value * 1e4).round() / 1e4;
    // `+ 0.0` takes the minus from a nothing.
    serde_json::Number::from_f64(rounded + 0.0).map_or(Value::Null, Value::Number)
}

/// A point, `[x, y]`.
pub(crate) fn point(p: Point) -> Value {
    Value::Array(vec![number(p.x), number(p.y)])
}

/// The text of a value, with a line end. Short values and lists of points stand on one line.
pub(crate) fn text(value: &Value) -> String {
    let mut out = String::new();
    lay(value, 0, &mut out);
    out.push('\n');
    out
}

fn lay(value: &Value, deep: usize, out: &mut String) {
    let (open, close, count) = match value {
        Value::Array(all) => ('[', ']', all.len()),
        Value::Object(all) => ('{', '}', all.len()),
        _ => (' ', ' ', 0),
    };
    if count == 0 || of_points(value) || short(value, WIDE.saturating_sub(2 * deep)) {
        out.push_str(&flat(value));
        return;
    }
    out.push(open);
    let mut first = true;
    let mut begin = |out: &mut String| {
        if !first {
            out.push(',');
        }
        first = false;
        out.push('\n');
        out.push_str(&"  ".repeat(deep + 1));
    };
    match value {
        Value::Array(all) => {
            for item in all {
                begin(out);
                lay(item, deep + 1, out);
            }
        }
        Value::Object(all) => {
            for (key, item) in all {
                begin(out);
                out.push_str(&flat(&Value::String(key.clone())));
                out.push_str(": ");
                lay(item, deep + 1, out);
            }
        }
        _ => {}
    }
    out.push('\n');
    out.push_str(&"  ".repeat(deep));
    out.push(close);
}

fn flat(value: &Value) -> String {
    value.to_string()
}

fn of_points(value: &Value) -> bool {
    value.as_array().is_some_and(|all| {
        all.iter()
            .all(|p| p.as_array().is_some_and(|p| p.iter().all(Value::is_number)))
    })
}

/// Whether a value, written flat, is no longer than that. Looks no further than it must.
fn short(value: &Value, wide: usize) -> bool {
    fn left(value: &Value, wide: usize) -> Option<usize> {
        match value {
            Value::Array(all) => all
                .iter()
                .try_fold(wide.checked_sub(2)?, |w, v| left(v, w.checked_sub(1)?)),
            Value::Object(all) => all.iter().try_fold(wide.checked_sub(2)?, |w, (k, v)| {
                left(v, w.checked_sub(k.len() + 4)?)
            }),
            Value::String(text) => wide.checked_sub(text.len() + 2),
            other => wide.checked_sub(other.to_string().len()),
        }
    }
    left(value, wide).is_some()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_is_laid_out_reads_back_the_same() {
        let long = "x".repeat(200);
        let value = json!({"a": [1, 2, {"b": long, "c": []}], "points": [[1.5, 2.0], [3.0, 4.0]], "n": null,
            "name": "line\nend \"quoted\" \u{202e}"});
        let laid = text(&value);
        assert_eq!(serde_json::from_str::<Value>(&laid).unwrap(), value);
        assert!(
            laid.contains("\n  \"points\": [[1.5,2.0],[3.0,4.0]],"),
            "{laid}"
        );
    }

    #[test]
    fn nothing_has_no_sign_and_a_ten_thousandth_is_the_finest() {
        assert_eq!(number(-0.000_01).to_string(), "0.0");
        assert_eq!(number(1.234_56).to_string(), "1.2346");
        assert_eq!(number(f64::NAN), Value::Null);
    }
}
