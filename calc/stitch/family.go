package stitch

import (
	"fmt"
	"strconv"
)

// The stitches that families grow from. Extended, post and foundation forms
// are rows of the file; the rest is derived here.
var (
	plain    = []ID{"sl st", "sc", "hdc", "dc", "tr", "dtr", "trtr"}
	joinable = []ID{
		"sl st", "sc", "hdc", "dc", "tr", "dtr", "trtr", "quadtr", "esc", "ehdc", "edc", "etr",
		"fpsc", "fphdc", "fpdc", "fptr", "fpdtr", "bpsc", "bphdc", "bpdc", "bptr", "bpdtr",
	}
)

const derivedSource = "derived from its base stitch; common practice, no source"

// families returns every derived stitch; a row of the file with the same ID
// takes the place of a derived one.
func families(known map[ID]Stitch) []Stitch {
	var all []Stitch
	for _, id := range joinable {
		base := known[id]
		for n := 2; n <= 9; n++ {
			all = append(all, together(base, n))
		}
		if base.Kind == Post {
			continue
		}
		for n := 2; n <= 9; n++ {
			all = append(all, increase(base, n))
		}
	}
	for _, id := range plain[1:] {
		base := known[id]
		for n := 2; n <= 20; n++ {
			all = append(all, shell(base, n))
		}
		for _, name := range []string{"cluster", "bobble", "puff", "popcorn"} {
			all = append(all, named(base, name, known[ID(name)]))
			for n := 2; n <= 12; n++ {
				all = append(all, cluster(base, n, name, known[ID(name)]))
			}
		}
		all = append(all, crossed(base), vee(base))
	}
	for n := 2; n <= 8; n++ {
		all = append(all, picot(n, known["picot"]))
	}
	return all
}

// derive copies the base's figures and gives the copy its own words: form
// makes them from the base's words of each dialect.
func derive(base Stitch, id ID, kind Kind, form func(Words) Words) Stitch {
	s := base
	s.ID, s.Kind, s.Base, s.Source, s.Assumed = id, kind, base.ID, derivedSource, ""
	s.US, s.UK, s.Older = form(base.US), form(base.UK), form(base.Older)
	return s
}

// each makes the words of a form for each abbreviation of the base.
func each(w Words, form string, n int) []string {
	var out []string
	for _, a := range w.Abbr {
		out = append(out, fmt.Sprintf(form, a, n))
	}
	return out
}

// forms makes the words of a form that has no number.
func forms(w Words, form string) []string {
	var out []string
	for _, a := range w.Abbr {
		out = append(out, fmt.Sprintf(form, a))
	}
	return out
}

// together is a decrease: n stitches of the row below joined into one.
func together(base Stitch, n int) Stitch {
	s := derive(base, ID(fmt.Sprintf("%s%dtog", base.ID, n)), Together, func(w Words) Words {
		also := append(each(w, "%[2]d %[1]s tog", n),
			fmt.Sprintf("%d %s together", n, w.Name), fmt.Sprintf("%d %ss together", n, w.Name))
		for _, a := range w.Also {
			also = append(also, fmt.Sprintf("%s %d together", a, n))
		}
		if n == 2 {
			also = append(also, w.Name+" decrease")
			for _, a := range w.Abbr {
				also = append(also, a+" dec", a+"dec")
			}
		}
		return Words{Name: fmt.Sprintf("%s %d together", w.Name, n), Abbr: each(w, "%s%dtog", n), Also: also}
	})
	s.Consumes, s.Makes = n, 1
	s.Parts = []Part{{base.ID, n}}
	s.Symbol.Legs, s.Symbol.Join = n, AtTop
	return s
}

// increase is n stitches in one place.
func increase(base Stitch, n int) Stitch {
	id := ID(fmt.Sprintf("%d-%s inc", n, base.ID))
	if n == 2 {
		id = base.ID + " inc"
	}
	s := derive(base, id, Increase, func(w Words) Words {
		var abbr, also []string
		for _, a := range w.Abbr {
			if n == 2 {
				abbr = append(abbr, a+" inc")
				also = append(also, a+"inc", "2 "+a+" inc")
			} else {
				abbr = append(abbr, fmt.Sprintf("%d-%s inc", n, a))
			}
			also = append(also, fmt.Sprintf("%sinc%d", a, n), fmt.Sprintf("%s%dinc", a, n), fmt.Sprintf("%s inc %d", a, n))
		}
		name := w.Name + " increase"
		if n > 2 {
			name = fmt.Sprintf("%d %s increase", n, w.Name)
		}
		return Words{Name: name, Abbr: abbr, Also: also}
	})
	s.Consumes, s.Makes = 1, n
	s.Parts = []Part{{base.ID, n}}
	s.Symbol.Legs, s.Symbol.Join = n, AtFoot
	return s
}

// shell is n equal stitches in one place, worked for their look.
func shell(base Stitch, n int) Stitch {
	s := derive(base, ID(fmt.Sprintf("%d-%s shell", n, base.ID)), Group, func(w Words) Words {
		return Words{
			Name: fmt.Sprintf("%d-%s shell", n, w.Name), Abbr: each(w, "%[2]d-%[1]s shell", n),
			Also: append(each(w, "%[2]d-%[1]s fan", n), each(w, "shell of %[2]d %[1]s", n)...),
		}
	})
	s.Consumes, s.Makes = 1, n
	s.Parts = []Part{{base.ID, n}}
	s.Symbol.Legs, s.Symbol.Join = n, AtFoot
	return s
}

// cluster is n legs in one place that make one stitch: a cluster, bobble, puff
// or popcorn.
func cluster(base Stitch, n int, name string, like Stitch) Stitch {
	s := named(base, name, like)
	s.ID = ID(fmt.Sprintf("%d-%s %s", n, base.ID, name))
	s.Assumed = ""
	form := func(w Words) Words {
		return Words{Name: fmt.Sprintf("%d-%s %s", n, w.Name, like.US.Name), Abbr: each(w, "%[2]d-%[1]s "+name, n)}
	}
	s.US, s.UK, s.Older = form(base.US), form(base.UK), form(base.Older)
	s.Parts = []Part{{base.ID, n}}
	s.Symbol.Legs = n
	return s
}

// named is a cluster whose base is told and whose number of legs is not: "dc
// popcorn".
func named(base Stitch, name string, like Stitch) Stitch {
	n := 0
	if len(like.Parts) > 0 {
		n = like.Parts[0].Many
	}
	s := derive(base, ID(string(base.ID)+" "+name), Cluster, func(w Words) Words {
		return Words{Name: w.Name + " " + like.US.Name, Abbr: forms(w, "%s "+name), Also: []string{w.Name + " " + name}}
	})
	s.Consumes, s.Makes = like.Consumes, like.Makes
	s.Parts = []Part{{base.ID, n}}
	s.Assumed = fmt.Sprintf("%d legs, unless the pattern says otherwise", n)
	s.Symbol.Legs, s.Symbol.Join, s.Symbol.Mark = n, like.Symbol.Join, like.Symbol.Mark
	if like.Symbol.Shape == Puff {
		s.Symbol.Shape = Puff
	}
	return s
}

// crossed is a pair: one stitch skipped, one worked, then one in the stitch
// skipped.
func crossed(base Stitch) Stitch {
	s := derive(base, "crossed "+base.ID, Crossed, func(w Words) Words {
		return Words{Name: "crossed " + w.Name, Abbr: forms(w, "crossed %s"), Also: append(forms(w, "cr %s"), forms(w, "X-%s")...)}
	})
	s.Consumes, s.Makes = 2, 2
	s.Parts = []Part{{base.ID, 2}}
	s.Symbol.Legs, s.Symbol.Join = 2, Cross
	return s
}

// vee is two stitches and one chain between them, in one place.
func vee(base Stitch) Stitch {
	s := derive(base, base.ID+" v-st", Group, func(w Words) Words {
		return Words{Name: w.Name + " V stitch", Abbr: forms(w, "%s V-st")}
	})
	s.Consumes, s.Makes = 1, 2
	s.Parts = []Part{{base.ID, 1}, {"ch", 1}, {base.ID, 1}}
	s.Assumed = "1 chain between the two stitches, unless the pattern says otherwise"
	s.Symbol.Legs, s.Symbol.Join, s.Symbol.Chains = 2, AtFoot, 1
	return s
}

// picot is a loop of n chains closed with a slip stitch.
func picot(n int, like Stitch) Stitch {
	s := like
	s.ID = ID("ch-" + strconv.Itoa(n) + " picot")
	w := Words{
		Name: fmt.Sprintf("%d-chain picot", n), Abbr: []string{fmt.Sprintf("ch-%d picot", n)},
		Also: []string{fmt.Sprintf("picot of %d ch", n), fmt.Sprintf("p%d", n), fmt.Sprintf("picot %d", n)},
	}
	s.US, s.UK, s.Older = w, w, w
	s.Base, s.Assumed, s.Source = like.ID, "", derivedSource
	s.Parts = []Part{{"ch", n}, {"sl st", 1}}
	s.Symbol.Chains = n
	return s
}
