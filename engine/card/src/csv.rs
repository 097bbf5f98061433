//! Comma-separated values (RFC 4180), for spreadsheets that may take a text for a formula.

/// One record. A field that a spreadsheet would take for a formula begins with an apostrophe (common practice, no
/// source), so that it is shown and never worked out.
#[must_use]
pub fn line(fields: &[String]) -> String {
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
