package lookup

import (
	"math/bits"
	"slices"
	"strings"
)

// hit is a word of the dictionary that answers a word of the question; cost is
// 0 for the word itself.
type hit struct {
	word int
	cost float64
}

// hits returns the words that a word of a question can mean: those that begin
// so, and with slack those that do so with typing errors.
func (ix *Index) hits(part string, slack bool) []hit {
	var found []hit
	first, _ := slices.BinarySearchFunc(ix.words, part, func(w entryWord, s string) int { return strings.Compare(w.text, s) })
	for i := first; i < len(ix.words) && strings.HasPrefix(ix.words[i].text, part); i++ {
		found = append(found, hit{i, float64(len(ix.words[i].text)-len(part)) / 20})
	}
	if !slack {
		return found
	}
	runes := []rune(part)
	most := slips(len(runes))
	if most == 0 {
		return found
	}
	mask := letters(runes)
	root := stem(part)
	for i := range ix.words {
		w := &ix.words[i]
		if w.stem == root && w.text != part && !strings.HasPrefix(w.text, part) {
			found = append(found, hit{i, 0.3}) // "ruffling" asks for "ruffles"
			continue
		}
		if bits.OnesCount64(mask&^w.mask) > most || len(w.runes) < len(runes)-most || strings.HasPrefix(w.text, part) {
			continue
		}
		d := distance(runes, w.runes, most, true)
		if d > most {
			continue
		}
		if whole := distance(runes, w.runes, most, false); whole <= most {
			found = append(found, hit{i, float64(whole)})
		} else {
			found = append(found, hit{i, float64(d) + 0.5})
		}
	}
	return found
}

// within finds names that hold every word of the question, in any order.
func (ix *Index) within(parts []string, slack bool) []Match {
	costs := make([]float64, len(ix.phrases))
	counts := make([]int16, len(ix.phrases))
	latest := make([]float64, len(ix.phrases)) // cost of the current word in each phrase
	for n, part := range parts {
		touched := make([]int32, 0, 64)
		for _, h := range ix.hits(part, slack) {
			for _, p := range ix.words[h.word].phrases {
				switch {
				case int(counts[p]) == n: // holds all words before this one
					counts[p] = int16(n + 1)
					latest[p] = h.cost
					touched = append(touched, p)
				case int(counts[p]) == n+1 && h.cost < latest[p]:
					latest[p] = h.cost
				}
			}
		}
		for _, p := range touched {
			costs[p] += latest[p]
		}
		if len(touched) == 0 {
			return nil
		}
	}
	how := Within
	if slack {
		how = Near
	}
	var found []Match
	for i := range ix.phrases {
		if p := &ix.phrases[i]; int(counts[i]) == len(parts) {
			found = append(found, Match{p.Word, how, costs[i] + float64(max(0, p.words-len(parts)))/4})
		}
	}
	return found
}

// misspelt finds names whose letters, spaces aside, are nearly those of the
// question ("slipstich").
func (ix *Index) misspelt(solid []rune) []Match {
	most := slips(len(solid))
	if most == 0 {
		return nil
	}
	var found []Match
	mask := letters(solid)
	for i := range ix.phrases {
		p := &ix.phrases[i]
		if bits.OnesCount64(mask&^p.mask) > most {
			continue
		}
		if d := distance(solid, p.runes, most, false); d <= most {
			found = append(found, Match{p.Word, Near, float64(d)})
		}
	}
	return found
}

// partly finds entries that share the telling words of a question. Words that
// no entry has are passed over; an answer needs a good third of the weight of
// the rest.
func (ix *Index) partly(parts []string) []Match {
	const share = 0.35
	total := 0.0
	sums := make([]float64, len(ix.keys))
	for n, part := range parts {
		if slices.Contains(parts[:n], part) {
			continue
		}
		weights := make([]float64, len(ix.keys)) // the best of this word, by entry
		most := 0.0
		for _, h := range ix.hits(part, true) {
			w := &ix.words[h.word]
			if !strings.HasPrefix(w.text, part) && len(part) < 5 || len(w.text) > len(part)+3 {
				continue // in a sentence short words are themselves, not beginnings
			}
			worth := w.weight / (1 + h.cost)
			most = max(most, worth)
			for _, k := range w.keys {
				weights[k] = max(weights[k], worth)
			}
		}
		total += most
		for k := range sums {
			sums[k] += weights[k]
		}
	}
	var found []Match
	told := make([]bool, len(ix.keys))
	for _, p := range ix.phrases {
		if sums[p.key] > 0 && sums[p.key] >= share*total && !told[p.key] {
			told[p.key] = true
			found = append(found, Match{p.Word, Partly, 1 - sums[p.key]/total})
		}
	}
	return found
}
