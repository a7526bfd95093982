//! JSON Merge Patch (RFC 7396): what to change in one JSON value to get another.

use serde_json::{Map, Value};

/// The patch that turns `from` into `to`. RFC 7396 has no way to write a `null` that is to be kept, so
/// whoever needs certainty applies the patch and compares.
pub fn between(from: &Value, to: &Value) -> Value {
    let (Value::Object(from), Value::Object(to)) = (from, to) else {
        return to.clone();
    };
    let mut patch: Map<String, Value> = from
        .keys()
        .filter(|key| !to.contains_key(*key))
        .map(|key| (key.clone(), Value::Null))
        .collect();
    for (key, wanted) in to {
        match from.get(key) {
            Some(known) if known == wanted => {}
            Some(known) => {
                patch.insert(key.clone(), between(known, wanted));
            }
            None => {
                patch.insert(key.clone(), wanted.clone());
            }
        }
    }
    Value::Object(patch)
}

/// Applies a patch, as RFC 7396 section 2 has it.
pub fn apply(patch: &Value, to: &mut Value) {
    let Value::Object(changes) = patch else {
        *to = patch.clone();
        return;
    };
    if !to.is_object() {
        *to = Value::Object(Map::new());
    }
    let Value::Object(target) = to else { return };
    for (key, change) in changes {
        if change.is_null() {
            target.remove(key);
        } else {
            apply(change, target.entry(key).or_insert(Value::Null));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 7396, appendix A, "Example Test Cases": original, patch, result; all fifteen rows.
    const APPENDIX_A: [(&str, &str, &str); 15] = [
        (r#"{"a":"b"}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
        (r#"{"a":"b"}"#, r#"{"b":"c"}"#, r#"{"a":"b","b":"c"}"#),
        (r#"{"a":"b"}"#, r#"{"a":null}"#, "{}"),
        (r#"{"a":"b","b":"c"}"#, r#"{"a":null}"#, r#"{"b":"c"}"#),
        (r#"{"a":["b"]}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
        (r#"{"a":"c"}"#, r#"{"a":["b"]}"#, r#"{"a":["b"]}"#),
        (r#"{"a":{"b":"c"}}"#, r#"{"a":{"b":"d","c":null}}"#, r#"{"a":{"b":"d"}}"#),
        (r#"{"a":[{"b":"c"}]}"#, r#"{"a":[1]}"#, r#"{"a":[1]}"#),
        (r#"["a","b"]"#, r#"["c","d"]"#, r#"["c","d"]"#),
        (r#"{"a":"b"}"#, r#"["c"]"#, r#"["c"]"#),
        (r#"{"a":"foo"}"#, "null", "null"),
        (r#"{"a":"foo"}"#, r#""bar""#, r#""bar""#),
        (r#"{"e":null}"#, r#"{"a":1}"#, r#"{"e":null,"a":1}"#),
        ("[1,2]", r#"{"a":"b","c":null}"#, r#"{"a":"b"}"#),
        ("{}", r#"{"a":{"bb":{"ccc":null}}}"#, r#"{"a":{"bb":{}}}"#),
    ];

    fn value(text: &str) -> Value {
        serde_json::from_str(text).unwrap()
    }

    #[test]
    fn patches_are_applied_as_the_standard_has_it() {
        for (original, patch, result) in APPENDIX_A {
            let mut patched = value(original);
            apply(&value(patch), &mut patched);
            assert_eq!(patched, value(result), "{original} with {patch}");
        }
    }

    #[test]
    fn a_patch_between_two_values_leads_from_one_to_the_other() {
        let texts = APPENDIX_A.iter().flat_map(|&(original, _, result)| [original, result]);
        let values: Vec<Value> =
            texts.map(value).filter(|value| *value != value_with_null()).collect();
        for from in &values {
            for to in values.iter().filter(|to| !to.to_string().contains("null")) {
                let mut patched = from.clone();
                apply(&between(from, to), &mut patched);
                assert_eq!(patched, *to, "from {from}");
            }
        }
        assert_eq!(between(&values[0], &values[0]), value("{}"));
    }

    fn value_with_null() -> Value {
        value(r#"{"e":null}"#)
    }
}
