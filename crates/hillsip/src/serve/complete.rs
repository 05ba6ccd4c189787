//! What a window leaves open of an edit because only the ground tells it: where a walked line goes on beyond a cut,
//! where the trees of a line stand that is taken out.

use std::borrow::Cow;

use design::layout::LaidLine;
use folder::edit::{Edit, Onward, Thing, TreePlace};
use ground::Point;

use super::held::Held;
use super::trouble::Trouble;

/// The edit with what the ground tells.
///
/// # Errors
/// What is to be cut was not laid out so far.
pub fn complete<'e>(edit: &'e Edit, held: &Held) -> Result<Cow<'e, Edit>, Trouble> {
    Ok(match edit {
        Edit::CutLine { line, at_m, name, onward: None } => match held.layout().line(line) {
            Some(laid) if is_walked(held, line) => Cow::Owned(Edit::CutLine {
                line: line.clone(),
                at_m: *at_m,
                name: name.clone(),
                onward: Some(onward(laid, *at_m)?),
            }),
            _ => Cow::Borrowed(edit),
        },
        Edit::Remove { what: Thing::Line, name, trees } if trees.is_empty() => {
            Cow::Owned(Edit::Remove { what: Thing::Line, name: name.clone(), trees: trees_at(held, name) })
        }
        _ => Cow::Borrowed(edit),
    })
}

fn is_walked(held: &Held, line: &str) -> bool {
    held.site().plan.lines.iter().any(|each| each.name == line && each.from.is_some())
}

fn onward(laid: &LaidLine, at_m: f64) -> Result<Onward, Trouble> {
    let beyond = laid.path.as_ref().and_then(|path| {
        let next = path.chainages_m().iter().position(|chainage_m| *chainage_m > at_m)?;
        Some((path.at(at_m)?, path.points()[next]))
    });
    let (from, toward) = beyond.ok_or_else(|| {
        let length_m = quantity::figures::fixed(laid.length_m(), 1);
        Trouble::refused(format!("\"{}\" is walked for {length_m} m only: cut it before its end", laid.line))
    })?;
    let xy = |point: Point| [point.x_m, point.y_m];
    Ok(Onward { from: xy(from), toward: xy(toward) })
}

fn trees_at(held: &Held, line: &str) -> Vec<TreePlace> {
    let trees = held.layout().trees.iter().filter(|tree| tree.line.as_deref() == Some(line));
    trees
        .filter_map(|tree| {
            let at = tree.at?;
            Some(TreePlace { tree: tree.tree.clone(), x_m: at.x_m, y_m: at.y_m })
        })
        .collect()
}
