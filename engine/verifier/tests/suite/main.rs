//! The checker against small forms and certificates made by hand: what is right, and the same with one thing wrong.

#[cfg(test)]
mod build;
#[cfg(test)]
mod claims;
#[cfg(test)]
mod duties;
#[cfg(test)]
mod effects;
#[cfg(test)]
mod items;
#[cfg(test)]
mod moves;
#[cfg(test)]
mod plans;
#[cfg(test)]
mod resume;
#[cfg(test)]
mod sets;
#[cfg(test)]
mod shape;
#[cfg(test)]
mod told;
#[cfg(test)]
mod widening;
