package chat

import (
	"strings"
	"unicode"
	"unicode/utf16"
)

// length counts a text in UTF-16 units. The service says "characters"; this is
// the strictest reading of it.
func length(s string) int {
	n := 0
	for _, r := range s {
		n += max(1, utf16.RuneLen(r))
	}
	return n
}

// cut shortens a text to at most n units, at the end of a word where one is
// near, and shows it by an ellipsis.
func cut(s string, n int) string {
	if length(s) <= n {
		return s
	}
	used, end, word := 0, 0, 0
	for i, r := range s {
		size := max(1, utf16.RuneLen(r))
		if used+size > n-1 {
			break
		}
		if unicode.IsSpace(r) {
			word = i
		}
		used += size
		end = i + len(string(r))
	}
	if word > end/2 {
		end = word
	}
	return strings.TrimRight(s[:end], " \n\\") + "…"
}

// mostMarks is how many marks may stand on one letter: UTS #39, 5.4, takes more
// than four in a row for a trick. They would run over the lines around them.
const mostMarks = 4

// clean drops what a reader can't see but a program obeys, and what would break
// out of its line: controls, marks that turn the direction of writing (UTS
// #55), characters without width or ink, heaps of accents. Joiners stay between
// letters that need them (Persian, Indic, emoji), and so does the choice
// between text and emoji style after a character.
func clean(s string) string {
	if !strings.ContainsFunc(s, func(r rune) bool { return r != '\n' && (r < ' ' || r > '~') }) {
		return s
	}
	s = strings.ReplaceAll(s, "\r\n", "\n")
	runes := []rune(s)
	var b strings.Builder
	last, marks := rune(0), 0 // the last character that was kept, and how many marks ended there
	for i, r := range runes {
		switch {
		case r == '\n':
		case unicode.IsSpace(r) && r != '\u2028' && r != '\u2029':
			r = ' '
		case joiner(r):
			if last <= 0x2FF || joiner(last) || i+1 == len(runes) || runes[i+1] <= 0x2FF || unseen(runes[i+1]) {
				continue
			}
		case r == '\uFE0E' || r == '\uFE0F':
			if !unicode.IsGraphic(last) || unicode.IsSpace(last) || unicode.Is(unicode.Variation_Selector, last) {
				continue
			}
		case unseen(r):
			continue
		case unicode.In(r, unicode.Mn, unicode.Me):
			if marks++; marks > mostMarks {
				continue
			}
		default:
			marks = 0
		}
		if r == '\n' || r == ' ' {
			marks = 0
		}
		b.WriteRune(r)
		last = r
	}
	return b.String()
}

// joiner is a character without width that joins its neighbours, or keeps them
// apart.
func joiner(r rune) bool { return r == '\u200C' || r == '\u200D' }

// unseen reports whether a character has no width or no ink, or is none.
func unseen(r rune) bool {
	return r == unicode.ReplacementChar || r == '\u2800' || // a Braille pattern without dots
		unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp,
		unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}

// escape writes a plain text so that the service shows it as it stands: no
// markup, mention, link text, list or heading of the service comes of it.
// Everything in a reply goes through here, whoever wrote it.
func escape(s string) string {
	lines := strings.Split(clean(s), "\n")
	for i, l := range lines {
		lines[i] = escapeLine(l)
	}
	return strings.Join(lines, "\n")
}

// escapeLine escapes a line from its start.
func escapeLine(s string) string {
	start, rest := escapeStart(s)
	return start + escapeInline(rest)
}

// escapeInline escapes what does not start its line.
func escapeInline(s string) string {
	var b strings.Builder
	for i, r := range s {
		switch r {
		case '\\', '*', '_', '~', '`', '|', '<', '[', ']':
			b.WriteByte('\\')
			b.WriteRune(r)
		case '@':
			b.WriteByte('@')
			if rest := strings.ToLower(s[i+1:]); strings.HasPrefix(rest, "everyone") || strings.HasPrefix(rest, "here") {
				b.WriteRune('\u200B') // no backslash stops these two
			}
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// escapeStart escapes the start of a line, where a sign or a number may make a
// quote, a heading or a list, and returns the rest as it is.
func escapeStart(s string) (start, rest string) {
	rest = strings.TrimLeft(s, " ")
	start = s[:len(s)-len(rest)]
	afterDigits := strings.TrimLeft(rest, "0123456789")
	switch digits := rest[:len(rest)-len(afterDigits)]; {
	case rest == "":
	case strings.ContainsRune(">#-+", rune(rest[0])):
		return start + `\` + rest[:1], rest[1:]
	case digits != "" && (afterDigits == "." || strings.HasPrefix(afterDigits, ". ")):
		return start + digits + `\.`, afterDigits[1:]
	}
	return start, rest
}

// oneLine is escape for a place that holds a single line and starts it.
func oneLine(s string) string { return escapeLine(single(s)) }

// inline is escape for a place within a line.
func inline(s string) string { return escapeInline(single(s)) }

// single is clean for a place that holds a single line.
func single(s string) string { return strings.Join(strings.Fields(clean(s)), " ") }

// verbatim readies a text for a code block, whose only markup is its own end.
func verbatim(s string) string {
	s = clean(s)
	for strings.Contains(s, "```") { // four and more leave another three
		s = strings.ReplaceAll(s, "```", "`\u200B`\u200B`")
	}
	return s
}

// code sets a single line as code, so that it can be copied; its quotes of
// code become plain ones, for nothing escapes them there.
func code(s string) string {
	return "`" + strings.ReplaceAll(single(s), "`", "'") + "`"
}
