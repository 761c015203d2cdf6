package words

import "strings"

// Decimals puts the language's sign before the decimals of the numbers in a
// finished text: "106.5 cm" is "106,5 cm" in German. What has more points than
// one or stands against a letter is no such number: "1.2.0", "v1.2".
func (p Printer) Decimals(text string) string {
	if p.language == nil || !p.language.comma || !strings.Contains(text, ".") {
		return text
	}
	out := []byte(text)
	for at := 0; at < len(out); at++ {
		if out[at] != '.' || !digitAt(out, at-1) || !digitAt(out, at+1) {
			continue
		}
		from, to := at-1, at+1
		for digitAt(out, from) {
			from--
		}
		for digitAt(out, to) {
			to++
		}
		if !joined(out, from) && !(joined(out, to) && (out[to] != '.' || digitAt(out, to+1))) {
			out[at] = ','
		}
		at = to - 1
	}
	return string(out)
}

func digitAt(b []byte, at int) bool {
	return at >= 0 && at < len(b) && b[at] >= '0' && b[at] <= '9'
}

// joined reports whether a place holds what makes a number part of a word.
func joined(b []byte, at int) bool {
	if at < 0 || at >= len(b) {
		return false
	}
	c := b[at]
	return c == '.' || c == '_' || c == '/' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z'
}
