//! The modules of one member: their files, what each imports, and what a path in one of them leads to.

use crate::house::sources;
use crate::house::tokens::{Token, tokens, without_tests};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// The names of a module from the root of its member; the root has none.
pub(super) type Name = Vec<String>;

/// `use a::b as c`.
struct Import {
    path: Vec<String>,
    /// The name it has here; none for `*`.
    known_as: Option<String>,
    /// It is there for others: alone it uses nothing.
    passed_on: bool,
}

/// One file.
struct Module {
    file: PathBuf,
    imports: Vec<Import>,
    /// Paths outside imports, and names that stand alone.
    paths: BTreeSet<Vec<String>>,
    /// Names of what is defined here.
    defines: BTreeSet<String>,
}

/// Where a path leads.
enum Target<'a> {
    Module(Name),
    /// Something that is defined in this module.
    Item(Name, &'a str),
}

/// All modules of a member but those for tests.
pub(super) struct Modules(BTreeMap<Name, Module>);

/// What one file uses of others: their names, each with what is used.
pub(super) type Uses = BTreeMap<PathBuf, BTreeSet<String>>;

impl Modules {
    /// Reads every file of the folder in which the member's root stands.
    pub(super) fn read(folder: &Path) -> Self {
        let (mut modules, mut tests) = (BTreeMap::new(), BTreeSet::new());
        for file in sources(folder) {
            let name = name(folder, &file);
            let text = std::fs::read_to_string(&file).expect("source can be read");
            let (tokens, own) = without_tests(&tokens(&text));
            tests.extend(own.into_iter().map(|test| [&name[..], &[test]].concat()));
            let file = file.strip_prefix(folder).expect("the file is in the folder").to_owned();
            modules.insert(name, Module::read(file, &tokens));
        }
        modules.retain(|name: &Name, _| !tests.iter().any(|test| name.starts_with(test)));
        Self(modules)
    }

    /// For every file what it uses of others.
    pub(super) fn uses(&self) -> BTreeMap<PathBuf, Uses> {
        self.0.iter().map(|(name, module)| (module.file.clone(), self.uses_of(name, module))).collect()
    }

    fn uses_of(&self, name: &Name, module: &Module) -> Uses {
        let mut uses = Uses::new();
        let taken = module.imports.iter().filter(|import| !import.passed_on).map(|import| &import.path);
        for path in taken.chain(&module.paths) {
            let (item, what) = match self.resolve(name, path, 0) {
                Some(Target::Item(item, what)) => (item, what),
                Some(Target::Module(whole)) if is_glob(module, path) => (whole, "*"),
                Some(Target::Module(_)) | None => continue,
            };
            if item != *name {
                uses.entry(self.0[&item].file.clone()).or_default().insert(what.to_owned());
            }
        }
        uses
    }

    /// Where a path leads that stands in this module; nowhere if it leaves the member.
    fn resolve<'a>(&'a self, here: &Name, path: &'a [String], depth: usize) -> Option<Target<'a>> {
        assert!(depth < 50, "imports that lead round: {here:?} {path:?}");
        match path.first()?.as_str() {
            "crate" => self.within(&Name::new(), &path[1..], depth),
            "self" => self.within(here, &path[1..], depth),
            "super" => {
                let rest = path.iter().position(|word| word != "super").unwrap_or(path.len());
                self.within(&here[..here.len().checked_sub(rest)?].to_vec(), &path[rest..], depth)
            }
            first => {
                // A name from elsewhere may be that of the module which imports it: a crate's, as in `use anyhow::anyhow`.
                if self.child(here, first).is_some() {
                    return self.within(here, path, depth);
                }
                match self.0[here].imports(first).filter(|import| import.path.first() != path.first()) {
                    Some(_) => self.within(here, path, depth),
                    None => self.glob(here, path, depth),
                }
            }
        }
    }

    fn within<'a>(&'a self, module: &Name, path: &'a [String], depth: usize) -> Option<Target<'a>> {
        let Some((first, rest)) = path.split_first() else { return Some(Target::Module(module.clone())) };
        if let Some(child) = self.child(module, first) {
            return self.within(&child, rest, depth);
        }
        let known = self.0.get(module)?;
        if known.defines.contains(first) {
            return Some(Target::Item(module.clone(), first));
        }
        if let Some(import) = known.imports(first) {
            // One's own name for something from elsewhere; what follows is looked for there.
            return match self.resolve(module, &import.path, depth + 1)? {
                Target::Module(to) => self.within(&to, rest, depth + 1),
                item @ Target::Item(..) => Some(item),
            };
        }
        self.glob(module, path, depth).or_else(|| Some(Target::Item(module.clone(), first)))
    }

    /// What `use somewhere::*` makes known.
    fn glob<'a>(&'a self, module: &Name, path: &'a [String], depth: usize) -> Option<Target<'a>> {
        let globs = self.0.get(module)?.imports.iter().filter(|import| import.known_as.is_none());
        for import in globs {
            if let Some(Target::Module(from)) = self.resolve(module, &import.path, depth + 1)
                && self.0.get(&from).is_some_and(|from| from.defines.contains(&path[0]))
            {
                return self.within(&from, path, depth + 1);
            }
        }
        None
    }

    fn child(&self, module: &Name, name: &str) -> Option<Name> {
        let child = [&module[..], &[name.to_owned()]].concat();
        self.0.contains_key(&child).then_some(child)
    }
}

fn is_glob(module: &Module, path: &[String]) -> bool {
    module.imports.iter().any(|import| import.known_as.is_none() && import.path == path)
}

impl Module {
    fn read(file: PathBuf, tokens: &[Token]) -> Self {
        let mut module = Self { file, imports: Vec::new(), paths: BTreeSet::new(), defines: BTreeSet::new() };
        let mut at = 0;
        while at < tokens.len() {
            let Some(word) = tokens[at].word() else {
                at += 1;
                continue;
            };
            let before = at.checked_sub(1).map(|before| &tokens[before]);
            if word == "use" && before.is_none_or(|before| !before.is('+') && !before.is(':')) {
                let passed_on = before.is_some_and(|before| before.is(')') || before.word() == Some("pub"));
                at = module.import(tokens, at + 1, &[], passed_on);
                continue;
            }
            if KINDS.contains(&word)
                && let Some(Token::Word(name)) = tokens.get(at + 1)
            {
                module.defines.insert(name.clone());
            }
            // A field or a method of something, and the rest of a path, lead nowhere.
            let leads = before.is_none_or(|before| *before != Token::Path && !before.is('.'));
            let mut path = vec![word.to_owned()];
            while let (Some(Token::Path), Some(Token::Word(word))) = (tokens.get(at + 1), tokens.get(at + 2))
            {
                path.push(word.clone());
                at += 2;
            }
            if leads {
                module.paths.insert(path);
            }
            at += 1;
        }
        module
    }

    /// Reads a tree of imports from here; gives where it ends.
    fn import(&mut self, tokens: &[Token], mut at: usize, prefix: &[String], passed_on: bool) -> usize {
        let mut path = prefix.to_vec();
        let mut known_as = None;
        loop {
            match &tokens[at] {
                Token::Word(word) if word == "as" => {
                    known_as = tokens[at + 1].word().map(str::to_owned);
                    at += 1;
                }
                // `a::{self}` is `a`.
                Token::Word(word) if word == "self" && !path.is_empty() => {
                    known_as = path.last().cloned();
                }
                Token::Word(word) => {
                    known_as = Some(word.clone());
                    path.push(word.clone());
                }
                Token::Path => {}
                Token::Mark('*') => known_as = None,
                Token::Mark('{') => {
                    at += 1;
                    while !tokens[at].is('}') {
                        at = self.import(tokens, at, &path, passed_on);
                        at += usize::from(tokens[at].is(','));
                    }
                    return at + 1;
                }
                Token::Mark(_) => {
                    self.imports.push(Import { path, known_as, passed_on });
                    return at;
                }
            }
            at += 1;
        }
    }

    fn imports(&self, name: &str) -> Option<&Import> {
        self.imports.iter().find(|import| import.known_as.as_deref() == Some(name))
    }
}

/// Words before the name of what is defined.
const KINDS: [&str; 9] = ["fn", "struct", "enum", "union", "trait", "type", "const", "static", "macro_rules"];

/// The name of the module that a file is.
fn name(folder: &Path, file: &Path) -> Name {
    let inside = file.strip_prefix(folder).expect("the file is in the folder").with_extension("");
    let mut name: Name = inside.iter().map(|part| part.to_string_lossy().into_owned()).collect();
    let last = name.last().map(String::as_str);
    if last == Some("mod") || name.len() == 1 && (last == Some("lib") || last == Some("main")) {
        name.pop();
    }
    name
}
