package spacing

// Repeat is a sequence that is worked so many times.
type Repeat[T comparable] struct {
	Once  []T
	Times int
}

// longest sequence that is looked for as a repeat.
const longest = 12

// repeats draws a sequence together: from the start on, it takes the repeat
// that covers most per element written. The elements keep their order, and
// what does not repeat is written out.
func repeats[T comparable](all []T) []Repeat[T] {
	var drawn []Repeat[T]
	plain := 0 // elements before here that stand alone
	flush := func(to int) {
		if plain < to {
			drawn = append(drawn, Repeat[T]{all[plain:to], 1})
		}
	}
	for i := 0; i < len(all); {
		length, times := best(all[i:])
		if times == 1 {
			i++
			continue
		}
		flush(i)
		drawn = append(drawn, Repeat[T]{all[i : i+length], times})
		i += length * times
		plain = i
	}
	flush(len(all))
	return drawn
}

// best is the length and times of the repeat at the start that saves most.
func best[T comparable](rest []T) (length, times int) {
	length, times = 1, 1
	saved := 0
	for l := 1; l <= longest && 2*l <= len(rest); l++ {
		n := 1
		for (n+1)*l <= len(rest) && equal(rest[:l], rest[n*l:(n+1)*l]) {
			n++
		}
		if s := (n - 1) * l; s > saved {
			saved, length, times = s, l, n
		}
	}
	return length, times
}

func equal[T comparable](a, b []T) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
