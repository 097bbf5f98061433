//! What the views of a certificate speak of together, and what a view may leave out: conditions on the data alone (section 6).

use crate::certificate::{Certificate, View};
use crate::form::{Cube, EffectKind, Form, Guard, Node, Outcome, Part, Role, Takes};
use crate::shape::blocks;

/// The cube of the looks of an answer.
#[must_use]
pub fn looks(answer: &Outcome) -> Cube {
    let looks = answer.effects.iter().filter(|effect| effect.kind == EffectKind::Look);
    looks.map(|look| Part { var: look.var, set: look.set }).collect()
}

/// A cube for each part that can be false, with the parts before it true: what is outside of a cube, in pieces.
#[must_use]
pub fn outside(form: &Form, cube: &[Part]) -> Vec<Cube> {
    let not = |part: Part| Part { set: form.vars[part.var as usize].all() & !part.set, ..part };
    (0..cube.len()).map(|i| [&cube[..i], &[not(cube[i])]].concat()).collect()
}

/// The cubes that a guard lets through.
#[must_use]
pub fn passed(form: &Form, guard: &Guard) -> Vec<Cube> {
    match guard {
        Guard::Always => vec![Vec::new()],
        Guard::Is(cube) => vec![cube.clone()],
        Guard::IsNot(cube) => outside(form, cube),
    }
}

/// The cubes that a guard does not let through.
#[must_use]
pub fn held_back(form: &Form, guard: &Guard) -> Vec<Cube> {
    match guard {
        Guard::Always => Vec::new(),
        Guard::Is(cube) => outside(form, cube),
        Guard::IsNot(cube) => vec![cube.clone()],
    }
}

/// The answers of a question, if every one looks.
#[must_use]
pub fn question(node: &Node) -> Vec<&Outcome> {
    let answers = node.outcomes.iter().filter(|it| it.takes == Takes::Answer && node.role == Role::Asks);
    let answers: Vec<_> = answers.collect();
    if answers.iter().all(|answer| !looks(answer).is_empty()) { answers } else { Vec::new() }
}

/// Whether a view of these variables speaks of every variable of a cube.
#[must_use]
pub fn speaks_of(vars: &[u32], cube: &[Part]) -> bool {
    cube.iter().all(|part| vars.binary_search(&part.var).is_ok())
}

/// By node: where a view stands then, and which items of the block it follows. In an item left out it stands at the node that chooses.
#[must_use]
pub fn homes(form: &Form, view: &View) -> Vec<(u32, u32)> {
    let home = |(n, node): (u32, &Node)| {
        let cut = view.items.iter().find(|(block, _)| node.block == Some(*block));
        let followed = cut.map_or(u32::MAX, |(_, items)| *items);
        let is_out = node.item.is_some_and(|item| followed >> item & 1 == 0);
        let chooses = |(_, it): &(u32, &Node)| it.block == node.block && it.item.is_none();
        let chooser = || (0..).zip(&form.nodes).find(chooses).map_or(n, |(chooser, _)| chooser);
        (if is_out { chooser() } else { n }, followed)
    };
    (0..).zip(&form.nodes).map(home).collect()
}

/// Something that views have to speak of.
struct Owed<'a> {
    name: &'a str,
    cube: Cube,
    /// The view follows the item of this node.
    at: Option<u32>,
    /// It is the first view.
    first: bool,
}

/// Whether the views speak of everything together, where form and certificate are well formed.
///
/// # Errors
/// If they do not: what is missing.
pub fn covers(form: &Form, certificate: &Certificate) -> Result<(), String> {
    let (views, mut owed) = (&certificate.views, Vec::new());
    for (n, node) in (0..).zip(&form.nodes) {
        // Where nobody asks, some view has to follow the node all the same: another cannot say that it comes to an end.
        let asked = question(node).into_iter().flat_map(looks).collect();
        let owes = |cube| Owed { name: &node.name, cube, at: Some(n), first: false };
        owed.extend([asked].into_iter().chain(node.needs.iter().map(|need| vec![*need])).map(owes));
    }
    let parts = form.promises.iter().map(|promise| &promise.part).chain(&form.unseen);
    let parts = parts.map(|part| (&form.vars[part.var as usize].name, vec![*part], false));
    let rules = form.rules.iter().map(|rule| (&rule.name, rule.when.clone(), false));
    let places = views.iter().flat_map(|view| view.places.iter().map(move |at| (view, at)));
    let stood = places.filter(|(_, at)| form.nodes[at.node as usize].role != Role::Passing);
    let rows = stood.flat_map(|(view, at)| at.sets.iter().map(|set| &view.rows[set.0 as usize]));
    let found = rows.flat_map(|row| &row.found).map(|r| &form.rules[*r as usize]);
    let found = found.map(|rule| (&rule.name, rule.when.clone(), true));
    let all = parts.chain(rules).chain(found);
    owed.extend(all.map(|(name, cube, first)| Owed { name, cube, at: None, first }));
    let homes: Vec<_> = views.iter().map(|view| homes(form, view)).collect();
    let is_missing = |owed: &&Owed<'_>| {
        let mut able = views.iter().zip(&homes).take(if owed.first { 1 } else { views.len() });
        !able.any(|(view, homes)| {
            owed.at.is_none_or(|n| homes[n as usize].0 == n) && speaks_of(&view.vars, &owed.cube)
        })
    };
    let missing = owed.iter().find(is_missing);
    missing.map_or(Ok(()), |owed| Err(format!("no view speaks of `{}`", owed.name)))
}

fn require(is_so: bool, what: &str) -> Result<(), String> {
    if is_so { Ok(()) } else { Err(format!("an item must not be left out: {what}")) }
}

/// Whether a view, of a certificate that is well formed, may leave out the items that it does; the nodes that choose among them, and
/// whether what is left out leads to the stop.
///
/// # Errors
/// If it may not: why.
pub fn left_out(form: &Form, view: &View) -> Result<Vec<(u32, bool)>, String> {
    let homes = homes(form, view);
    require(homes[form.entry as usize].0 == form.entry, "the entry lies in it")?;
    // What the view speaks of, and by a change of what that may end.
    let mut concerns: Vec<_> = (0..).zip(&form.vars).map(|(v, _)| view.vars.contains(&v)).collect();
    while let Some(part) = form.lost_when.iter().find_map(|loss| {
        let new = |part: &&Part| concerns[loss.var as usize] && !concerns[part.var as usize];
        loss.when.iter().find(new)
    }) {
        concerns[part.var as usize] = true;
    }
    let settles = form.settling.iter().any(|entry| concerns[entry.var as usize]);
    let (blocks, mut choosers) = (blocks(form), Vec::new());
    for (block, followed) in view.items.iter().filter(|(block, followed)| blocks[block] & !followed != 0) {
        let own = |n: u32| form.nodes[n as usize].block == Some(*block);
        let chooses = (0..).zip(&form.nodes).filter(|(n, it)| own(*n) && it.item.is_none());
        let chooses: Vec<_> = chooses.map(|(n, it)| (n, it.role)).collect();
        require(matches!(chooses[..], [(_, Role::Chooses)]), "there is not one node that chooses")?;
        let (chooser, mut stops) = (chooses[0].0, false);
        let is_followed = |item: u8| followed >> item & 1 == 1;
        let is_out = |n: u32| own(n) && homes[n as usize].0 != n;
        let nodes = (0..).zip(&form.nodes);
        for (n, it) in nodes.flat_map(|(n, node)| node.outcomes.iter().map(move |it| (n, it))) {
            let takes_out = matches!(it.takes, Takes::Item(item) if n == chooser && !is_followed(item));
            if !is_out(n) && !takes_out {
                require(!is_out(it.to), "something else leads into it")?;
                continue;
            }
            require(it.to == 1 || it.to == chooser || is_out(it.to), "it leads elsewhere")?;
            let mut items = it.effects.iter().filter_map(|effect| effect.offers).chain(it.ends);
            require(!items.any(is_followed), "it offers or ends another")?;
            require(!it.effects.iter().any(|effect| concerns[effect.var as usize]), "it concerns the view")?;
            require(it.waits.is_empty() || !settles, "time passes in it")?;
            let cubes = it.waits.iter().map(|wait| &wait.cube).chain(match &it.guard {
                Guard::Is(cube) | Guard::IsNot(cube) => Some(cube),
                Guard::Always => None,
            });
            let tells = cubes.flatten().any(|part| view.vars.contains(&part.var));
            require(!tells, "it tells variants of the view apart")?;
            stops |= it.to == 1;
        }
        let mut places = view.places.iter().filter(|at| own(at.node));
        let found = places.any(|at| at.sets.iter().any(|set| !view.rows[set.0 as usize].found.is_empty()));
        require(!found, "in its block a rule is found")?;
        choosers.push((chooser, stops));
    }
    Ok(choosers)
}
