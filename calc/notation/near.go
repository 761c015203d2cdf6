package notation

// oneEdit reports whether two different words are one insertion, deletion,
// replacement or swap of neighbours apart. It is linear in their length.
func oneEdit(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch {
	case len(a) == len(b):
		if i == len(a) {
			return false
		}
		if a[i+1:] == b[i+1:] {
			return true
		}
		return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
	case len(a)+1 == len(b):
		return a[i:] == b[i+1:]
	}
	return false
}

// nearest returns the words of the vocabulary one edit away from a word that
// it does not know. Words of one or two letters have no near ones: too many
// would fit.
func (v *vocabulary) nearest(word string, fits func(entry) bool) []string {
	n := len(word)
	if n < 3 || n > 14 {
		return nil
	}
	var found []string
	for _, length := range []int{n, n - 1, n + 1} {
		if length < 2 {
			continue
		}
		for _, known := range v.byLength[length] {
			if oneEdit(word, known) && fits(v.entries[known]) {
				found = append(found, known)
			}
		}
	}
	return found
}
