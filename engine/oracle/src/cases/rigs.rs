//! What the cases work on.

/// What every equipment document says.
pub(super) const EVERY: &str = "\
equipment: rig
title: A rig
revision: 1
roles: { technician: Works on the rig. }
hazards: { harm: { worst: minor, certainty: could, hazard: Harm, consequence: Harm comes., avoid: Keep off. } }
instruments: { gauge: { unit: V, resolution: 0.1 V } }
";

/// A guard, a plug and a tag, all of which can be looked at; the guard must not be off while the plug is in.
pub(super) const PLUG: &str = "\
conditions:
  mains: { values: [off, plugged], ask: Is the plug out? }
  guard: { values: [shut, open], ask: Is the guard shut? }
  tag: { values: [absent, hung], ask: Is there no tag? }
never:
  naked: { when: { guard: open, mains: plugged }, hazard: harm }
";

/// A charge that nobody sees and that goes while the mains are off.
pub(super) const CHARGE: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  guard: { values: [shut, open], ask: Is the guard shut? }
  charge: { values: [present, gone], settles: { from: present, to: gone, after: 45 s, while: { mains: off } } }
never:
  charged: { when: { guard: open, charge: present }, hazard: harm }
";

/// A pressure that can be looked at and that goes while the valve is open.
pub(super) const PRESSURE: &str = "\
conditions:
  valve: { values: [open, shut], ask: Is the valve open? }
  pressure:
    values: [high, relieved]
    ask: { relieved: Does the gauge show 0? }
    settles: { from: high, to: relieved, after: 30 s, while: { valve: open } }
";

/// Three contents of a tank, all of which can be looked at.
pub(super) const TANK: &str = "\
conditions:
  tank: { values: [empty, rinse, product], ask: { empty: Is it empty?, rinse: Is it rinse?, product: Is it product? } }
  cover: { values: [shut, open], ask: Is the cover shut? }
";

/// Two rules over a pump, a valve and a door.
pub(super) const PUMP: &str = "\
conditions:
  valve: { values: [open, shut], ask: Is the valve open? }
  pump: { values: [off, on], ask: Is the pump off? }
  door: { values: [shut, open], ask: Is the door shut? }
  tag: { values: [absent, hung], ask: Is there no tag? }
never:
  dry: { when: { valve: shut, pump: on }, hazard: harm }
  reach: { when: { door: open, pump: on }, hazard: harm }
";
