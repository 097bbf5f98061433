//! The fonts that go with the program, read once and shared by all cards.
//!
//! `engine/pdf/fonts` holds them with their licences: IBM Plex Sans (OFL 1.1, unpacked from the WOFF2 files of the npm
//! package `@ibm/plex-sans` 1.1.0, outlines untouched) and, for what it lacks, DejaVu Sans (Debian `fonts-dejavu-core`
//! 2.37). A character in neither is an error at its place: there is no CJK, Thai or emoji beyond what DejaVu has. Hebrew
//! and Arabic are shaped and run from right to left.

use krilla::text::Font;
use parley::FontContext;
use parley::fontique::{Blob, Collection, CollectionOptions, SourceCache};
use std::sync::{Arc, OnceLock};

/// The family of all text, and the one that is asked for what the first lacks.
pub(crate) const FAMILIES: [&str; 2] = ["IBM Plex Sans", "DejaVu Sans"];

static FILES: [&[u8]; 4] = [
    include_bytes!("../fonts/IBMPlexSans-Regular.ttf"),
    include_bytes!("../fonts/IBMPlexSans-SemiBold.ttf"),
    include_bytes!("../fonts/IBMPlexSans-Italic.ttf"),
    include_bytes!("../fonts/DejaVuSans.ttf"),
];

/// The fonts in the two forms in which they are needed.
pub(crate) struct Fonts {
    context: FontContext,
    /// For each file its number in the context, and the font as it is embedded.
    embedded: Vec<(u64, Font)>,
}

impl Fonts {
    /// The fonts, read at the first call.
    pub(crate) fn shared() -> &'static Self {
        static FONTS: OnceLock<Fonts> = OnceLock::new();
        FONTS.get_or_init(Self::read)
    }

    fn read() -> Self {
        let options = CollectionOptions { shared: false, system_fonts: false };
        let mut collection = Collection::new(options);
        let mut embedded = Vec::new();
        for file in FILES {
            let blob = Blob::new(Arc::new(file));
            let id = blob.id();
            collection.register_fonts(blob, None);
            embedded.extend(Font::new(file.into(), 0).map(|font| (id, font)));
        }
        Self { context: FontContext { collection, source_cache: SourceCache::default() }, embedded }
    }

    /// A context to set text with.
    pub(crate) fn context(&self) -> FontContext {
        self.context.clone()
    }

    /// Which of the files a number of the context stands for.
    pub(crate) fn index(&self, id: u64) -> Option<usize> {
        self.embedded.iter().position(|(known, _)| *known == id)
    }

    /// The font to embed.
    pub(crate) fn font(&self, index: usize) -> Font {
        self.embedded[index].1.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::{FILES, Fonts};

    #[test]
    fn every_file_is_a_font() {
        assert_eq!(Fonts::shared().embedded.len(), FILES.len());
    }
}
