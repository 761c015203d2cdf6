package grade

// cycle is a stretch of a sequence: Once, worked so many times.
type cycle[T comparable] struct {
	once  []T
	times int
}

// longestCycle that is looked for.
const longestCycle = 24

// cycles cuts a sequence into repeats and what stands between them, from the
// start on: at each place the repeat that saves most.
func cycles[T comparable](all []T) []cycle[T] {
	var out []cycle[T]
	plain := 0
	for i := 0; i < len(all); {
		length, times := bestCycle(all[i:])
		if times == 1 {
			i++
			continue
		}
		if plain < i {
			out = append(out, cycle[T]{all[plain:i], 1})
		}
		out = append(out, cycle[T]{all[i : i+length], times})
		i += length * times
		plain = i
	}
	if plain < len(all) {
		out = append(out, cycle[T]{all[plain:], 1})
	}
	return out
}

// bestCycle is the length and times of the repeat at the start that saves
// most; the shortest of those that save alike.
func bestCycle[T comparable](rest []T) (length, times int) {
	length, times = 1, 1
	saved := 0
	for l := 1; l <= longestCycle && 2*l <= len(rest); l++ {
		n := 1
		for (n+1)*l <= len(rest) && same(rest[:l], rest[n*l:(n+1)*l]) {
			n++
		}
		if s := (n - 1) * l; s > saved {
			saved, length, times = s, l, n
		}
	}
	return length, times
}

func same[T comparable](a, b []T) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
