//! The register of machines: `register.yaml` beside the procedures.

use calc::nearest;
use document::model::Name;
use document::{Day, FormError, Library, Zone};
use indexmap::IndexMap;
use serde::{Deserialize, Deserializer};

/// The machines of a depot, by equipment, and where it lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Register {
    /// Where the machines stand.
    pub site: Site,
    /// The machines of each equipment.
    pub register: IndexMap<Name, Fleet>,
}

/// A register as it is written, before it is known whether it names its site.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    site: Option<Site>,
    register: IndexMap<Name, Fleet>,
}

/// Where machines stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// The time zone by which days are judged.
    pub zone: Zone,
}

/// The machines of one equipment, and what is to be done on each of them.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fleet {
    /// The procedures to be walked again and again, each with how often.
    #[serde(default)]
    pub due: IndexMap<Name, Interval>,
    /// The machines by serial number.
    pub serials: IndexMap<String, Machine>,
}

/// How often a procedure is due. It counts from the end of the last walk of it that was completed and was no training;
/// where there is none, from the day the machine came into use. Of two figures the one reached first counts.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Interval {
    /// Days, 1 to 3650, written `30 days`: so many days later it is due.
    #[serde(default, deserialize_with = "days")]
    pub every: Option<u32>,
    /// Uses after which it is due.
    pub after: Option<Uses>,
}

/// Uses of a machine: completed walks, training left out.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Uses {
    /// How many, 1 or more.
    pub uses: u32,
    /// The procedures whose walks count as a use.
    pub of: Vec<Name>,
}

/// One machine.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Machine {
    /// The day it came into use here.
    pub since: Day,
    /// Set while it is out of service for a reason that no walk tells.
    pub out_of_service: Option<OutOfService>,
}

/// Who took a machine out of service by hand, when and why.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OutOfService {
    /// Since when.
    pub since: Day,
    /// Who said so.
    pub by: String,
    /// Why.
    pub reason: String,
}

/// Days in an interval at most: ten years.
const DAYS_MAX: u32 = 3650;

fn days<'de, D: Deserializer<'de>>(reader: D) -> Result<Option<u32>, D::Error> {
    let text = String::deserialize(reader)?;
    let number = text.strip_suffix(" days").or_else(|| text.strip_suffix(" day"));
    let days = number.and_then(|number| number.parse().ok()).filter(|days| (1..=DAYS_MAX).contains(days));
    days.map(Some).ok_or_else(|| {
        serde::de::Error::custom(format!(
            "`{text}` is no interval; write one from `1 day` to `{DAYS_MAX} days`"
        ))
    })
}

impl Register {
    /// Reads the text of a register.
    ///
    /// # Errors
    /// If it has another form, or does not say in which time zone its site lies: there is no default.
    pub fn parse(text: &str) -> Result<Self, FormError> {
        let Written { site, register } = FormError::parse("register", text)?;
        let missing = || {
            let fault = "it does not say by which time zone days are judged: write `site: { zone: NAME }` with the \
                         name that the IANA database has for it, such as `site: { zone: Pacific/Auckland }`";
            FormError::new("register", fault.to_owned())
        };
        Ok(Self { site: site.ok_or_else(missing)?, register })
    }

    /// Whether it lists the machine of that serial number.
    #[must_use]
    pub fn lists(&self, equipment: &str, serial: &str) -> bool {
        let key = serial_key(serial);
        self.register
            .get(equipment)
            .is_some_and(|fleet| fleet.serials.keys().any(|listed| serial_key(listed) == key))
    }

    /// What in it does not fit the documents or itself, a sentence each. What is due cannot be told from such a register.
    #[must_use]
    pub fn faults(&self, library: &Library) -> Vec<String> {
        let mut faults = Vec::new();
        for (equipment, fleet) in &self.register {
            // Which equipment is left out because its document has errors is not told apart: nothing is said then.
            let known = || library.equipment.keys().map(|name| &**name);
            if !library.equipment.contains_key(equipment) && !library.left_out().any(|_| true) {
                faults.push(format!("no equipment is named `{equipment}`{}", near(equipment, known())));
            }
            for (procedure, interval) in &fleet.due {
                let at = format!("`{procedure}` of `{equipment}`");
                fits(library, equipment, procedure, &at, &mut faults);
                match &interval.after {
                    None if interval.every.is_none() => {
                        faults.push(format!("{at} says neither `every` nor `after`: it is never due"));
                    }
                    None => {}
                    Some(uses) => {
                        if uses.uses == 0 {
                            faults.push(format!("{at} is due after 0 uses: give 1 or more"));
                        }
                        if uses.of.is_empty() {
                            faults.push(format!("{at} counts the uses of no procedure: name one under `of`"));
                        }
                        for used in &uses.of {
                            let at =
                                format!("`{used}`, whose walks count for `{procedure}` of `{equipment}`,");
                            fits(library, equipment, used, &at, &mut faults);
                        }
                    }
                }
            }
            let mut seen: Vec<String> = Vec::new();
            for serial in fleet.serials.keys() {
                let key = serial_key(serial);
                if key.is_empty() || serial.chars().any(char::is_control) {
                    faults.push(format!("a serial number of `{equipment}` says nothing"));
                } else if seen.contains(&key) {
                    faults.push(format!("`{serial}` of `{equipment}` is there twice"));
                }
                seen.push(key);
            }
        }
        faults
    }

    /// Takes the machines of another register in.
    ///
    /// # Errors
    /// With why the two cannot be taken together: an equipment is in both, or their zones differ.
    pub fn merge(&mut self, other: Self) -> Result<(), String> {
        let Self { site, register } = other;
        if site != self.site {
            let (other, zone) = (site.zone.name(), self.site.zone.name());
            return Err(format!(
                "its zone is `{other}` and that of another register here `{zone}`: give each its own run"
            ));
        }
        for (equipment, fleet) in register {
            if self.register.contains_key(&equipment) {
                return Err(format!("the machines of `{equipment}` stand in another register too"));
            }
            self.register.insert(equipment, fleet);
        }
        Ok(())
    }
}

/// Serial numbers are compared without regard to case and spaces around them.
pub(crate) fn serial_key(serial: &str) -> String {
    serial.trim().to_lowercase()
}

fn near<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> String {
    nearest(name, known).map(|near| format!("; did you mean `{near}`?")).unwrap_or_default()
}

/// A procedure is there and works on that equipment. One whose document has errors is there too.
fn fits(library: &Library, equipment: &Name, procedure: &Name, at: &str, faults: &mut Vec<String>) {
    match library.procedures.get(procedure) {
        Some(document) if document.model.equipment == *equipment => {}
        Some(document) => faults.push(format!("{at} works on `{}`", document.model.equipment)),
        None if library.left_out().any(|name| *name == **procedure) => {}
        None => {
            let known = library.procedures.keys().map(|name| &**name);
            faults.push(format!("{at} is no procedure{}", near(procedure, known)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Register;

    fn told(text: &str) -> String {
        Register::parse(text).map(|_| String::new()).unwrap_or_else(|error| error.to_string())
    }

    #[test]
    fn a_register_is_read_strictly() {
        assert_eq!(
            told("site: { zone: Etc/UTC }\nregister: { pump: { serials: { A-1: { since: 2026-01-02 } } } }"),
            ""
        );
        let due = |interval: &str| {
            told(&format!(
                "site: {{ zone: Etc/UTC }}\nregister: {{ pump: {{ due: {{ wash: {interval} }}, serials: {{}} }} }}"
            ))
        };
        assert_eq!(due("{ every: 30 days, after: { uses: 5, of: [spray] } }"), "");
        assert_eq!(due("{ every: 1 day }"), "");
        for every in ["30", "0 days", "3651 days", "30 d", "-1 days", "1.5 days"] {
            assert!(due(&format!("{{ every: {every} }}")).contains("no interval"), "{every}");
        }
        assert!(due("{ evry: 30 days }").contains("evry"));
        assert!(due("{ after: { uses: 5 } }").contains("of"));
        let day = told("register: { pump: { serials: { A-1: { since: 2026-02-30 } } } }");
        assert!(day.contains("2026-02-30") && day.contains("schemas/register.schema.json"), "{day}");
        assert!(told("register: []").contains("register file"));
    }

    #[test]
    fn a_register_names_the_zone_of_its_site() {
        let none = told("register: {}");
        assert!(none.contains("`site: { zone: NAME }`"), "{none}");
        let wrong = told("site: { zone: Pacific/Aukland }\nregister: {}");
        assert!(wrong.contains("did you mean `Pacific/Auckland`?"), "{wrong}");
        assert!(told("site: {}\nregister: {}").contains("zone"));
        let mut here = Register::parse("site: { zone: Etc/UTC }\nregister: {}").unwrap();
        let there = Register::parse("site: { zone: Pacific/Auckland }\nregister: {}").unwrap();
        assert!(here.merge(there).unwrap_err().contains("Pacific/Auckland"));
    }
}
