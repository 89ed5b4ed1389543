//! Looking for words, whatever their capitals and accents.

/// The words that are looked for.
pub(crate) struct Words(Vec<String>);

impl Words {
    pub(crate) fn new(text: &str) -> Self {
        Self(text.split_whitespace().map(plain).collect())
    }

    /// Whether every word stands in at least one of the texts. No words stand everywhere.
    pub(crate) fn all_in(&self, texts: &[&str]) -> bool {
        let texts: Vec<String> = texts.iter().map(|t| plain(t)).collect();
        self.0
            .iter()
            .all(|word| texts.iter().any(|t| t.contains(word.as_str())))
    }
}

/// A text in small letters without the accents of Latin scripts.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars().flat_map(char::to_lowercase) {
        match letter {
            'à'..='å' | 'ā' | 'ă' | 'ą' | 'ǎ' => out.push('a'),
            'ç' | 'ć' | 'ĉ' | 'ċ' | 'č' => out.push('c'),
            'ď' | 'đ' | 'ð' => out.push('d'),
            'è'..='ë' | 'ē' | 'ĕ' | 'ė' | 'ę' | 'ě' => out.push('e'),
            'ĝ' | 'ğ' | 'ġ' | 'ģ' => out.push('g'),
            'ĥ' | 'ħ' => out.push('h'),
            'ì'..='ï' | 'ĩ' | 'ī' | 'ĭ' | 'į' | 'ı' => out.push('i'),
            'ĵ' => out.push('j'),
            'ķ' => out.push('k'),
            'ĺ' | 'ļ' | 'ľ' | 'ŀ' | 'ł' => out.push('l'),
            'ñ' | 'ń' | 'ņ' | 'ň' => out.push('n'),
            'ò'..='ö' | 'ø' | 'ō' | 'ŏ' | 'ő' => out.push('o'),
            'ŕ' | 'ŗ' | 'ř' => out.push('r'),
            'ś' | 'ŝ' | 'ş' | 'š' | 'ș' => out.push('s'),
            'ţ' | 'ť' | 'ŧ' | 'ț' => out.push('t'),
            'ù'..='ü' | 'ũ' | 'ū' | 'ŭ' | 'ů' | 'ű' | 'ų' => out.push('u'),
            'ŵ' => out.push('w'),
            'ý' | 'ÿ' | 'ŷ' => out.push('y'),
            'ź' | 'ż' | 'ž' => out.push('z'),
            'ß' => out.push_str("ss"),
            'æ' => out.push_str("ae"),
            'œ' => out.push_str("oe"),
            // Accents that stand behind their letter.
            '\u{300}'..='\u{36f}' => {}
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a letter that is lost, or an accent that hides a name.
    #[test]
    fn accents_and_capitals_make_no_difference() {
        assert_eq!(
            plain("Łódź ÉCLAIR Straße cœur e\u{301}"),
            "lodz eclair strasse coeur e"
        );
        assert_eq!(plain("李 Ω"), "李 ω");
    }
}
