//! The conditions of the equipment: what they can be, who sees them, what ends what is known of them.

use super::change::{Class, Group};
use super::cubes::{all, forbidden, shifts};
use super::equipment::Sheet;
use super::what::What;
use calc::quantity::Duration;
use document::model::{Ask, Condition, Cube, Lapse, Name, Settles, Stated, While};

impl Sheet<'_> {
    pub(super) fn condition(&mut self, name: &Name, old: &Condition, new: &Condition) {
        let Condition {
            values,
            label,
            ask,
            seen_by: _,
            seen_when,
            normal,
            lapses,
            keeps,
            settles,
            lost_when,
        } = old;
        self.settling(name, settles.as_ref(), new.settles.as_ref());
        // What counts is who sees it, written or not.
        if old.seen_by() != new.seen_by() {
            let message = format!("who can find out about `{name}` changed");
            self.tell(Group::Safety, Class::Weakened, What::SeeingChanged, "conditions", name, message);
        }
        if *seen_when != new.seen_when {
            let message = format!("when `{name}` can be looked at changed");
            self.tell(Group::Safety, Class::Weakened, What::SeeingChanged, "conditions", name, message);
        }
        if *keeps != new.keeps {
            let (class, word) =
                if new.keeps { (Class::Weakened, "no longer") } else { (Class::Strengthened, "now") };
            let message = format!("`{name}` is {word} looked at again after a handover or a stop");
            self.tell(Group::Safety, class, What::KeepingChanged, "conditions", name, message);
        }
        if *lost_when != new.lost_when {
            // Whatever ended the evidence still does: by the same cause, or by one that is met sooner.
            let machine = &self.pair.new.equipment.model;
            let still = |causes: &[Cube], by: &[Cube]| {
                let met = |cause: &Cube, by: &Cube| forbidden(&shifts(&all([cause]), &all([by]), machine));
                causes.iter().all(|cause| by.iter().any(|by| met(cause, by) != Class::Weakened))
            };
            let class = match (still(lost_when, &new.lost_when), still(&new.lost_when, lost_when)) {
                (false, _) => Class::Weakened,
                (true, false) => Class::Strengthened,
                (true, true) => Class::Neutral,
            };
            let message = format!("what ends the evidence of `{name}` changed");
            self.tell(Group::Safety, class, What::EvidenceChanged, "conditions", name, message);
        }
        if *lapses != new.lapses {
            let time = |lapses: &Option<Lapse>| match lapses {
                Some(Lapse(time)) => time.read().map_or(u64::MAX - 1, |time| time.as_millis()),
                None => u64::MAX,
            };
            let (before, after) = (time(lapses), time(&new.lapses));
            let class = if after > before { Class::Weakened } else { Class::Strengthened };
            let message = format!("when what is known of `{name}` lapses changed");
            self.tell(Group::Safety, class, What::LapseChanged, "conditions", name, message);
        }
        if *normal != new.normal {
            let class = if new.normal.is_none() { Class::Weakened } else { Class::Neutral };
            let message = format!("the normal value of `{name}` changed");
            self.tell(Group::Safety, class, What::NormalValueChanged, "conditions", name, message);
        }
        if *values != new.values {
            let message = format!("the values of `{name}` changed");
            self.tell(Group::Safety, Class::Neutral, What::ValuesChanged, "conditions", name, message);
        }
        if super::figures::wording(Some(&questions(label, ask)), Some(&questions(&new.label, &new.ask)))
            .is_some()
        {
            let message = format!("how `{name}` is asked about changed");
            self.tell(Group::Wording, Class::Neutral, What::WordingChanged, "conditions", name, message);
        }
    }

    /// How a value gives way to another by time alone.
    fn settling(&mut self, name: &Name, old: Option<&Settles>, new: Option<&Settles>) {
        if old == new {
            return;
        }
        let what = What::SettlingTimeChanged;
        let (Some(before), Some(after)) = (old, new) else {
            let class = if new.is_none() { Class::Weakened } else { Class::Neutral };
            let word = |settles: Option<&Settles>| {
                settles.map_or("nothing", |settles| settles.after.text()).to_owned()
            };
            let message = format!("`{name}` settles after {}, before after {}", word(new), word(old));
            self.tell(Group::Safety, class, what, "conditions", name, message);
            return;
        };
        let Settles { from, to, after: time, holds } = before;
        if *time != after.after {
            let millis = |time: &Stated<Duration>| time.read().map(|time| time.as_millis()).ok();
            let class =
                if millis(&after.after) > millis(time) { Class::Strengthened } else { Class::Weakened };
            let message =
                format!("`{name}` settles after {}, before after {}", after.after.text(), time.text());
            self.tell(Group::Safety, class, what, "conditions", name, message);
        }
        // Which value gives way to which is no more or less.
        if (from, to) != (&after.from, &after.to) {
            let message = format!(
                "`{name}` settles from `{}` to `{}`, before from `{from}` to `{to}`",
                after.from, after.to
            );
            self.tell(Group::Safety, Class::Weakened, What::SettlingChanged, "conditions", name, message);
        }
        if *holds != after.holds {
            // Time that counted always counts less often once something has to hold.
            let class = match (holds, &after.holds) {
                (None, Some(While::Cube(_))) => Class::Strengthened,
                (None | Some(_), None | Some(_)) => Class::Weakened,
            };
            let message = format!("while what the time of `{name}` counts changed");
            self.tell(Group::Safety, class, What::SettlingChanged, "conditions", name, message);
        }
    }
}

/// What a condition is called and how people are asked about it, as one text.
fn questions(label: &Option<String>, ask: &Option<Ask>) -> String {
    let mut text = label.clone().unwrap_or_default();
    match ask {
        None => {}
        Some(Ask::First(question)) => text.extend([" ", question]),
        Some(Ask::ByValue(questions)) => {
            for (value, question) in questions {
                text.extend([" ", value, ": ", question]);
            }
        }
    }
    text
}
