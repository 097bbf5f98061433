//! The texts of an equipment document.

use super::{Shown, Text};
use crate::model::{
    Action, Ask, Condition, EnergySource, Equipment, Fasteners, Hazard, Instrument, Name, Rule, Work,
};
use crate::places::pointer;
use indexmap::IndexMap;

/// The texts of an equipment document in written order.
#[must_use]
pub fn texts_of_equipment(equipment: &Equipment) -> Vec<Text<'_>> {
    let Equipment {
        equipment: _,
        title,
        revision: _,
        defer,
        units: _,
        writing: _,
        // Words that texts may use or not; nobody reads the list at work.
        terms: _,
        accept: _,
        energy,
        variants,
        conditions,
        never,
        work,
        actions,
        hazards,
        safe_state: _,
        release: _,
        roles,
        tools,
        supplies,
        spares,
        wear,
        instruments,
        fasteners,
        amounts: _,
    } = equipment;
    let mut texts = vec![as_written("/title", title)];
    texts.extend(defer.iter().map(|defer| as_written("/defer", defer)));
    for (name, EnergySource { source, isolated: _, locked: _, stored: _ }) in energy {
        texts.push(as_written(pointer("/energy", name) + "/source", source));
    }
    for (name, values) in variants {
        list(&pointer("/variants", name), values, &mut texts);
    }
    for (name, condition) in conditions {
        of_condition(&pointer("/conditions", name), condition, &mut texts);
    }
    for (name, Rule { when: _, hazard: _, why, released_by: _ }) in never {
        texts.extend(why.iter().map(|why| as_written(pointer("/never", name) + "/why", why)));
    }
    for Work { requires: _, wear: _, hazard: _, by: _, people: _, verified_by: _ } in work.values() {}
    for (name, action) in actions {
        let Action { act, work: _, requires: _, leaves: _, disturbs: _, tools: _, restores: _ } = action;
        texts.push(Text::new(pointer("/actions", name) + "/do", act, Shown::Filled));
    }
    for (name, Hazard { worst: _, certainty: _, hazard, consequence, avoid }) in hazards {
        let at = pointer("/hazards", name);
        let parts = [("hazard", hazard), ("consequence", consequence), ("avoid", avoid)];
        texts.extend(parts.map(|(key, text)| as_written(pointer(&at, key), text)));
    }
    let lists =
        [("roles", roles), ("tools", tools), ("supplies", supplies), ("spares", spares), ("wear", wear)];
    for (key, words) in lists {
        named(key, words, &mut texts);
    }
    for (name, Instrument { label, unit: _, resolution: _, uncertainty: _ }) in instruments {
        let at = pointer("/instruments", name) + "/label";
        texts.extend(label.iter().map(|label| as_written(at.clone(), label)));
    }
    for (name, group) in fasteners {
        of_fasteners(&pointer("/fasteners", name), group, &mut texts);
    }
    texts
}

fn as_written(at: impl Into<std::borrow::Cow<'static, str>>, text: &str) -> Text<'_> {
    Text::new(at, text, Shown::AsWritten)
}

fn list<'a>(at: &str, values: &'a [String], texts: &mut Vec<Text<'a>>) {
    texts.extend(values.iter().enumerate().map(|(index, value)| as_written(pointer(at, index), value)));
}

fn named<'a>(key: &str, words: &'a IndexMap<Name, String>, texts: &mut Vec<Text<'a>>) {
    texts.extend(words.iter().map(|(name, text)| as_written(pointer(&format!("/{key}"), name), text)));
}

fn of_condition<'a>(at: &str, condition: &'a Condition, texts: &mut Vec<Text<'a>>) {
    let Condition {
        values,
        label,
        ask,
        seen_by: _,
        seen_when: _,
        normal: _,
        lapses: _,
        keeps: _,
        settles: _,
        lost_when: _,
    } = condition;
    list(&format!("{at}/values"), values, texts);
    texts.extend(label.iter().map(|label| as_written(format!("{at}/label"), label)));
    match ask {
        None => {}
        Some(Ask::First(question)) => texts.push(as_written(format!("{at}/ask"), question)),
        Some(Ask::ByValue(questions)) => texts.extend(
            questions
                .iter()
                .map(|(value, question)| as_written(pointer(&format!("{at}/ask"), value), question)),
        ),
    }
}

fn of_fasteners<'a>(at: &str, group: &'a Fasteners, texts: &mut Vec<Text<'a>>) {
    let Fasteners {
        layout: _,
        count: _,
        rows: _,
        columns: _,
        pitch: _,
        row_pitch: _,
        diameter: _,
        positions: _,
        order: _,
        sequence: _,
        seat,
        torque: _,
        stages: _,
        final_pass: _,
        note,
    } = group;
    texts.extend(seat.iter().map(|seat| as_written(format!("{at}/seat"), seat)));
    texts.extend(note.iter().map(|note| as_written(format!("{at}/note"), note)));
}
