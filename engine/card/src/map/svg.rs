//! The map as SVG: one drawing a column for a page that flows, or all columns on one sheet as a file of its own.

use super::measure::exact;
use super::model::{
    Anchor, Area, COLUMN_WIDTH, COLUMNS_ACROSS, Column, Label, Line, Map, MapBox, Role, Shape,
};
use std::fmt::{self, Write};

/// Between columns of a sheet.
const GUTTER: i32 = 40;
/// Room round a sheet.
const MARGIN: i32 = 30;
/// Height of the legend's row and of the title.
const LEGEND: i32 = 60;
/// Length and half the width of an arrowhead.
const HEAD: (i32, i32) = (16, 7);

/// The look of the file of its own, which has no style sheet from elsewhere. Dark on light, for paper.
const STYLE: &str = "\
text{font:3.5px 'Liberation Sans',Arial,Helvetica,sans-serif;font-size:35px;fill:#14191e}\
.map-number,.map-stop,.map-title-line{font-weight:bold}\
.map-stop{fill:#a3142a}.map-strip{font-style:italic;fill:#46525d}\
.map-ground{fill:#ffffff}.map-frame{fill:none;stroke:#7b8791;stroke-width:3;stroke-dasharray:14 9}\
.map-line{fill:none;stroke:#14191e;stroke-width:4}.map-head{fill:#14191e}\
.map-box{fill:#ffffff;stroke:#14191e;stroke-width:4}.map-cell{fill:#eef1f3;stroke:#14191e;stroke-width:4}\
.map-look .map-cell{fill:#17475c}.map-look .map-number{fill:#ffffff}\
.map-wait .map-cell,.map-wait .map-box{stroke-dasharray:20 8}\
.map-hold .map-box{stroke:#a3142a;stroke-width:9}.map-hold .map-cell{stroke:#a3142a}.map-block .map-cell{stroke-width:9}\
.map-end .map-box{fill:#eef1f3}";

/// One column, to be put into an HTML page; its colours are the page's.
pub(crate) fn column_svg(column: &Column, label: &str) -> String {
    let height = column.height + 4;
    let mut svg = String::new();
    let label = escape(label);
    let open = write!(
        svg,
        "<svg class=\"map-column\" viewBox=\"-2 -2 {} {height}\" role=\"img\" aria-label=\"{label}\">",
        COLUMN_WIDTH + 4
    );
    finished(open.and_then(|()| draw(column, &mut svg)));
    svg.push_str("</svg>");
    svg
}

/// All columns on one sheet, with a title and a legend: a file of its own.
#[must_use]
pub fn svg(map: &Map, title: &str) -> String {
    let across = map.columns.len().clamp(1, COLUMNS_ACROSS) as i32;
    let width = across * COLUMN_WIDTH + (across - 1) * GUTTER + 2 * MARGIN;
    let sheets: Vec<&[Column]> = map.columns.chunks(COLUMNS_ACROSS).collect();
    let tall = |sheet: &&[Column]| sheet.iter().map(|column| column.height).max().unwrap_or(0) + GUTTER;
    let legend = LEGEND * map.legend.len() as i32;
    let height = 2 * MARGIN + LEGEND + sheets.iter().map(tall).sum::<i32>() + legend;
    let title = escape(title);
    let mut svg = String::new();
    let drawn = (|| {
        write!(
            svg,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{}mm\" height=\"{}mm\" \
             role=\"img\" aria-label=\"{title}\"><style>{STYLE}</style><rect class=\"map-ground\" width=\"{width}\" \
             height=\"{height}\"/><text class=\"map-title-line\" x=\"{MARGIN}\" y=\"{}\">{title}</text>",
            f64::from(width) / 10.0,
            f64::from(height) / 10.0,
            MARGIN + 36,
        )?;
        let mut y = MARGIN + LEGEND;
        for sheet in &sheets {
            for (at, column) in (0..).zip(*sheet) {
                write!(svg, "<g transform=\"translate({} {y})\">", MARGIN + at * (COLUMN_WIDTH + GUTTER))?;
                draw(column, &mut svg)?;
                svg.push_str("</g>");
            }
            y += tall(sheet);
        }
        for (shape, word) in &map.legend {
            let sample = Area { x: MARGIN, y, width: 70, height: 44 };
            a_box(&MapBox { shape: *shape, area: sample, cell: 70 }, &mut svg)?;
            write!(svg, "<text x=\"{}\" y=\"{}\">{}</text>", MARGIN + 90, y + 34, escape(word))?;
            y += LEGEND;
        }
        svg.write_str("</svg>\n")
    })();
    finished(drawn);
    svg
}

/// A sample of a kind of box, for a legend in a page.
#[must_use]
pub(crate) fn sample(shape: Shape) -> String {
    let area = Area { x: 4, y: 4, width: 70, height: 44 };
    let mut svg = String::from("<svg class=\"map-sample\" viewBox=\"0 0 78 52\" aria-hidden=\"true\">");
    finished(a_box(&MapBox { shape, area, cell: 70 }, &mut svg));
    svg.push_str("</svg>");
    svg
}

/// Writing to a string cannot fail.
fn finished(_: fmt::Result) {}

fn draw(column: &Column, svg: &mut String) -> fmt::Result {
    for frame in &column.frames {
        let Area { x, y, width, height } = frame.area;
        write!(
            svg,
            "<rect class=\"map-frame\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" rx=\"12\"/>"
        )?;
    }
    for line in &column.lines {
        a_line(line, svg)?;
    }
    for one in &column.boxes {
        a_box(one, svg)?;
    }
    for label in &column.labels {
        let anchor = match label.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let class = match label.role {
            Role::Number => "map-number",
            Role::Title => "map-title",
            Role::Way => "map-way",
            Role::Stop => "map-stop",
            Role::Strip => "map-strip",
        };
        // A number stands on its cell and takes its colour from there.
        let on = column.boxes.iter().find(|one| label.role == Role::Number && holds(one, label.x, label.y));
        let around = on.map_or("", |one| class_of(one.shape));
        let text = escape(&label.text);
        let fitted = fitted(label);
        write!(
            svg,
            "<g class=\"{around}\"><text class=\"{class}\" x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\"{fitted}>{text}</text></g>",
            label.x, label.y
        )?;
    }
    Ok(())
}

/// A device without the type that the places were reckoned for takes another, which may be wider: the text keeps its
/// width. Bold letters and other scripts are reckoned from above and keep their own.
fn fitted(label: &Label) -> String {
    let regular = !matches!(label.role, Role::Number | Role::Stop);
    match exact(&label.text).filter(|_| regular) {
        Some(width) => format!(" textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\""),
        None => String::new(),
    }
}

fn holds(one: &MapBox, x: i32, y: i32) -> bool {
    let Area { x: left, y: top, width, height } = one.area;
    (left..left + width).contains(&x) && (top..top + height).contains(&y)
}

fn class_of(shape: Shape) -> &'static str {
    match shape {
        Shape::End => "map-end",
        Shape::Act => "map-act",
        Shape::Look => "map-look",
        Shape::Wait => "map-wait",
        Shape::Hold => "map-hold",
        Shape::Block => "map-block",
    }
}

fn a_box(one: &MapBox, svg: &mut String) -> fmt::Result {
    let Area { x, y, width, height } = one.area;
    let round = if one.shape == Shape::End { 22 } else { 6 };
    let class = class_of(one.shape);
    write!(
        svg,
        "<g class=\"{class}\"><rect class=\"map-box\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" rx=\"{round}\"/>"
    )?;
    if one.cell > 0 {
        write!(
            svg,
            "<rect class=\"map-cell\" x=\"{x}\" y=\"{y}\" width=\"{}\" height=\"{height}\" rx=\"6\"/>",
            one.cell
        )?;
    }
    svg.write_str("</g>")
}

fn a_line(line: &Line, svg: &mut String) -> fmt::Result {
    let points: Vec<String> = line.points.iter().map(|(x, y)| format!("{x},{y}")).collect();
    write!(svg, "<polyline class=\"map-line\" points=\"{}\"/>", points.join(" "))?;
    let [.., before, end] = line.points[..] else { return Ok(()) };
    if !line.arrow {
        return Ok(());
    }
    let (long, half) = HEAD;
    let (step_x, step_y) = ((end.0 - before.0).signum(), (end.1 - before.1).signum());
    let back = (end.0 - step_x * long, end.1 - step_y * long);
    let (side_x, side_y) = (step_y * half, step_x * half);
    write!(
        svg,
        "<path class=\"map-head\" d=\"M{} {}L{} {}L{} {}Z\"/>",
        end.0,
        end.1,
        back.0 + side_x,
        back.1 + side_y,
        back.0 - side_x,
        back.1 - side_y
    )
}

fn escape(text: &str) -> String {
    crate::prose::escape(&crate::clean::clean_line(text))
}
