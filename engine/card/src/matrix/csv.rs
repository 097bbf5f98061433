//! The matrix as comma-separated values (RFC 4180), a line for each control of each step.

use super::Matrix;

const HEAD: [&str; 11] = [
    "procedure",
    "revision",
    "signal word",
    "hazard",
    "message",
    "step",
    "title",
    "exposed by",
    "kind of control",
    "control",
    "gap",
];

/// Lays matrices out, one after another under one head.
#[must_use]
pub fn csv(matrices: &[Matrix]) -> String {
    let mut text = line(&HEAD.map(str::to_owned));
    for matrix in matrices {
        for hazard in &matrix.hazards {
            let about = [
                matrix.id.clone(),
                matrix.revision.to_string(),
                hazard.word.word().to_owned(),
                hazard.name.clone(),
                hazard.message.clone(),
            ];
            let mut row = |rest: [String; 6]| {
                let fields: Vec<String> = about.iter().cloned().chain(rest).collect();
                text.push_str(&line(&fields));
            };
            for (rule, verdict) in &hazard.rules {
                let gap = if *verdict == super::Verdict::Proved { "" } else { "a rule does not hold" };
                row(["all", "", "", "rule", &format!("{rule}: {}", verdict.words()), gap].map(str::to_owned));
            }
            for exposure in &hazard.exposures {
                let by = exposure.by.join("; ");
                let gap = exposure.gap.clone().unwrap_or_default();
                if exposure.controls.is_empty() {
                    row([
                        exposure.step.clone(),
                        exposure.title.clone(),
                        by.clone(),
                        String::new(),
                        String::new(),
                        gap.clone(),
                    ]);
                }
                for control in &exposure.controls {
                    let kind = control.kind.words().to_owned();
                    row([
                        exposure.step.clone(),
                        exposure.title.clone(),
                        by.clone(),
                        kind,
                        control.text.clone(),
                        gap.clone(),
                    ]);
                }
            }
        }
    }
    text
}

/// One record. A field that a spreadsheet would take for a formula begins with an apostrophe (common practice, no
/// source), so that it is shown and never worked out.
fn line(fields: &[String]) -> String {
    let quoted = fields.iter().map(|field| {
        let field = crate::clean::clean(field);
        let acts = field.trim_start().starts_with(['=', '+', '-', '@', '\t', '\r'])
            || field.starts_with(['\t', '\r', '\n']);
        let field = if acts { format!("'{field}") } else { field };
        if field.contains(['"', ',', '\n', '\r']) {
            format!("\"{}\"", field.replace('"', "\"\""))
        } else {
            field
        }
    });
    quoted.collect::<Vec<_>>().join(",") + "\r\n"
}

#[cfg(test)]
mod tests {
    use super::line;

    /// RFC 4180 section 2, rules 5 to 7 (memory).
    #[test]
    fn fields_are_quoted_and_formulas_are_text() {
        let fields =
            |fields: &[&str]| line(&fields.iter().map(|&field| field.to_owned()).collect::<Vec<_>>());
        assert_eq!(fields(&["a", "b c"]), "a,b c\r\n");
        assert_eq!(fields(&["a,b", "c\"d", "e\nf"]), "\"a,b\",\"c\"\"d\",\"e\nf\"\r\n");
        assert_eq!(fields(&["=1+1", "+1", "-1", "@x", " =1"]), "'=1+1,'+1,'-1,'@x,' =1\r\n");
        assert_eq!(fields(&["=HYPERLINK(\"x\",\"y\")"]), "\"'=HYPERLINK(\"\"x\"\",\"\"y\"\")\"\r\n");
    }
}
