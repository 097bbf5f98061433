//! The stable codes of everything found while reading. A code is never used for another fault later.

/// Calls a macro with every code and its title, in the order of the codes: `R01 "The document is ..." R02 ...`. What every
/// code needs is made of it, so that none is forgotten.
#[macro_export]
macro_rules! codes_of_reading {
    ($take:ident) => {
        $take! {
            R01 "The document is greater than the reader takes"
            R02 "The document is not UTF-8"
            R03 "The document holds a character that people cannot see"
            R04 "The document is not well-formed YAML"
            R05 "A key stands twice in one map"
            R06 "A key is not a plain text of reasonable length"
            R07 "The document uses anchors, aliases or tags"
            R08 "The file holds no document, or more than one"
            R09 "The document passes a limit of nesting, of size or of faults"
            R10 "The document is neither equipment nor a procedure"
            R11 "A key is unknown here"
            R12 "A key is missing"
            R13 "A value is not of the kind that belongs here"
            R14 "A name or another text is not of the form that belongs here"
            R15 "A word is not one of those allowed here"
            R16 "A step has no main key, or several"
            R17 "Two documents have the same name"
            N01 "The equipment is not there"
            N02 "A condition is not declared"
            N03 "A condition does not have this value"
            N04 "A variant, or a value of it, is not declared"
            N05 "Something the equipment should declare is not declared"
            N06 "A role is not declared"
            N07 "The performed procedure is not there, or works on other equipment"
            N08 "A procedure performs itself"
            N09 "A target leads to no step, or into another list of steps"
            N10 "The name of a step is used twice or has a meaning of its own"
            N11 "`otherwise` is missing, or has no meaning here"
            N12 "`answers` or `then` do not fit the kind of step"
            N13 "An `any_order` group is nested, or too small or too large"
            N14 "The facts of a condition contradict each other"
            N15 "The evidence of a condition is lost by the condition itself"
            N16 "A figure is not a figure with its unit, or is of another dimension"
            N17 "The limits of a measurement contradict each other"
            N18 "A wait has no end that can be told"
            N19 "A group of fasteners is not described as its layout needs"
            N20 "A name is given twice"
            N21 "A time that has to pass is nothing"
            N22 "No reading can pass"
            N23 "A step is done on no machine"
            N24 "An answer or a value says `cannot tell`, which every look has already"
            F01 "The written order of fasteners breaks its rule"
            F02 "The count of fasteners is not the number of their places"
            F03 "The stages of tightening do not rise to the full torque"
            F04 "Fasteners tightened crosswise are not gone over at the end"
            A01 "The method of an amount is unknown"
            A02 "An input of an amount is missing, unknown or unreadable"
            A03 "The inputs of an amount are outside the method's range"
            A04 "A value of a variant has no figure"
            A05 "A text states a figure that contradicts the amount its step uses"
            A06 "A wait or a limit rests on a figure that only the product's label gives"
            A07 "A unit has more than one meaning"
            A08 "A text names no amount that there is, or is one that nothing is filled into"
        }
    };
}

macro_rules! constants {
    ($($code:ident $title:literal)*) => {
        $(#[doc = $title] pub(crate) const $code: &str = stringify!($code);)*
    };
}

codes_of_reading!(constants);
