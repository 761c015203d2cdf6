package lookup

// longest is how many characters of a word are compared; words of a
// dictionary are shorter.
const longest = 48

// slips says how many typing errors a word of n characters may hold.
func slips(n int) int {
	switch {
	case n < 4:
		return 0
	case n < 6:
		return 1
	default:
		return 2
	}
}

// letters is the set of letters of a word. A letter that another word lacks
// costs at least one error, which rules out most words without comparing them.
func letters(word []rune) uint64 {
	var set uint64
	for _, r := range word[:min(len(word), longest)] {
		set |= 1 << (uint(r) % 64)
	}
	return set
}

// distance counts the single errors between two words: a letter too much, too
// few or wrong, or two neighbours swapped. With open set, b may go on after a
// ends, as while a word is being typed. It gives up above most and returns
// most+1.
//
// Source: the restricted edit distance (optimal string alignment) of Damerau,
// "A technique for computer detection and correction of spelling errors",
// Communications of the ACM 7(3), 1964.
func distance(a, b []rune, most int, open bool) int {
	a, b = a[:min(len(a), longest)], b[:min(len(b), longest)]
	if open {
		b = b[:min(len(b), len(a)+most)]
	}
	if len(a)-len(b) > most || len(b)-len(a) > most {
		return most + 1
	}
	var rows [3][longest + 1]uint8
	before, above, row := &rows[0], &rows[1], &rows[2]
	for j := range b {
		above[j+1] = uint8(j + 1)
	}
	for i := range a {
		row[0] = uint8(i + 1)
		least := row[0]
		for j := range b {
			cost := uint8(1)
			if a[i] == b[j] {
				cost = 0
			}
			d := min(above[j+1]+1, row[j]+1, above[j]+cost)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				d = min(d, before[j-1]+1)
			}
			row[j+1] = d
			least = min(least, d)
		}
		if int(least) > most {
			return most + 1
		}
		before, above, row = above, row, before
	}
	d := int(above[len(b)])
	if open {
		for j := range b {
			d = min(d, int(above[j]))
		}
	}
	return min(d, most+1)
}
