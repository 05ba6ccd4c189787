//! Size budgets of the core: small functions, shallow nesting, short parameter lists, files one can read.
//!
//! Budgets are on the spread, not on each function: a plain table or a kernel may be long where splitting it
//! would hide what it does. No function is longer than 100 lines.

use syn::spanned::Spanned;
use syn::visit::Visit;

use super::tree::Tree;

const LONGEST: usize = 100;
const P75: usize = 15;
const P90: usize = 35;
const LONG: usize = 60;
const LONG_SHARE: f64 = 0.02;
const PARAMETERS: usize = 5;
const FIELDS: usize = 12;
const FILE_P90: usize = 600;

/// Structs that mirror a file's keys or a published record, and may have as many fields as that; and the state of
/// the solvers, one slice a quantity, which splitting would scatter.
const WIDE_STRUCTS: &[&str] = &[
    "Line",
    "Source",
    "Plan",
    "Tree",
    "LineSizes",
    "SillSizes",
    "LineRain",
    "Explicit",
    "Cells",
    "Implicit",
    "Ledger",
];

/// Complains where the core is over budget.
pub fn check(tree: &Tree) -> Vec<String> {
    let mut complaints = Vec::new();
    let mut lengths = Vec::new();
    let mut file_lengths = Vec::new();
    for name in super::CORE {
        for file in tree.sources(name) {
            if file.path.ends_with("/tests.rs") || file.path.contains("/tests/") {
                continue;
            }
            let parsed = match syn::parse_file(&file.text) {
                Ok(parsed) => parsed,
                Err(error) => {
                    complaints.push(format!("{}: {error}", file.path));
                    continue;
                }
            };
            let mut visitor = Sizes { path: &file.path, lengths: &mut lengths, complaints: &mut complaints };
            visitor.visit_file(&parsed);
            file_lengths.push(file.without_tests().lines().count());
        }
    }
    complaints.extend(over_budget(&mut lengths, &mut file_lengths));
    complaints
}

fn over_budget(lengths: &mut [usize], file_lengths: &mut [usize]) -> Vec<String> {
    lengths.sort_unstable();
    file_lengths.sort_unstable();
    let mut complaints = Vec::new();
    for (share, budget) in [(0.75, P75), (0.90, P90)] {
        let found = quantile(lengths, share);
        if found > budget {
            complaints.push(format!(
                "{:.0} % of functions should have at most {budget} lines: {found}",
                100.0 * share
            ));
        }
    }
    let long = lengths.iter().filter(|length| **length > LONG).count();
    if long as f64 > LONG_SHARE * lengths.len() as f64 {
        complaints.push(format!("{long} of {} functions are over {LONG} lines: at most 2 %", lengths.len()));
    }
    let found = quantile(file_lengths, 0.90);
    if found > FILE_P90 {
        complaints.push(format!("90 % of files should have at most {FILE_P90} lines without tests: {found}"));
    }
    complaints
}

fn quantile(sorted: &[usize], share: f64) -> usize {
    let last = sorted.len().saturating_sub(1);
    sorted.get((share * last as f64).round() as usize).copied().unwrap_or(0)
}

struct Sizes<'a> {
    path: &'a str,
    lengths: &'a mut Vec<usize>,
    complaints: &'a mut Vec<String>,
}

impl Sizes<'_> {
    fn function(&mut self, signature: &syn::Signature, block: &syn::Block) {
        let length = block.span().end().line - signature.span().start().line + 1;
        self.lengths.push(length);
        let place = format!("{}:{} {}", self.path, signature.span().start().line, signature.ident);
        if length > LONGEST {
            self.complaints.push(format!("{place} has {length} lines: at most {LONGEST}"));
        }
        let parameters =
            signature.inputs.iter().filter(|input| matches!(input, syn::FnArg::Typed(_))).count();
        if parameters > PARAMETERS {
            self.complaints.push(format!("{place} has {parameters} parameters: at most {PARAMETERS}"));
        }
    }
}

impl<'ast> Visit<'ast> for Sizes<'_> {
    fn visit_item_mod(&mut self, module: &'ast syn::ItemMod) {
        let is_test = module.attrs.iter().any(|attribute| {
            attribute.path().is_ident("cfg")
                && attribute.parse_args::<syn::Ident>().is_ok_and(|ident| ident == "test")
        });
        if !is_test {
            syn::visit::visit_item_mod(self, module);
        }
    }

    fn visit_item_fn(&mut self, function: &'ast syn::ItemFn) {
        if !function.attrs.iter().any(|attribute| attribute.path().is_ident("test")) {
            self.function(&function.sig, &function.block);
        }
    }

    fn visit_impl_item_fn(&mut self, function: &'ast syn::ImplItemFn) {
        self.function(&function.sig, &function.block);
    }

    fn visit_item_struct(&mut self, item: &'ast syn::ItemStruct) {
        let name = item.ident.to_string();
        if item.fields.len() > FIELDS && !WIDE_STRUCTS.contains(&name.as_str()) {
            let line = item.span().start().line;
            let fields = item.fields.len();
            self.complaints
                .push(format!("{}:{line} {name} has {fields} fields: at most {FIELDS}", self.path));
        }
    }
}
