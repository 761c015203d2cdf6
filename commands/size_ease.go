package commands

import (
	"math"
	"strings"

	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// easeChart is ease by the fit that is meant, as both editions have it.
func easeChart(r Request) reply.Reply {
	u := r.Settings.Units
	t := reply.Table{Head: r.Each("Fit", words.Key(unitName(u))), Right: []bool{false, true}}
	var earlier []string
	var figures []map[string]any
	for _, e := range sizing.Eases() {
		t.Rows = append(t.Rows, []string{r.Say(words.Key(e.Name)), r.Of(easeSpan(e, u))})
		then := earlierEase(e, u)
		if !strings.HasSuffix(then, "same") {
			low, high, two := strings.Cut(then, " to ")
			before := words.Say("%s", low)
			if two {
				before = words.Say("%s to %s", low, high)
			}
			earlier = append(earlier, r.Say("%s: now %s, earlier %s %s", words.Key(e.Name), easeSpan(e, u), before, u.String()))
		}
		figure := map[string]any{"fit": e.Name, "low_mm": round2(e.Low.MM()), "earlier": then}
		if !e.Open {
			figure["high_mm"] = round2(e.High.MM())
		}
		figures = append(figures, figure)
	}
	return reply.Reply{
		Title: r.Say("Ease: how much larger than the chest"),
		Parts: []reply.Block{
			t,
			reply.Text{Text: r.Say("Finished chest less body chest, for adults. Source: Craft Yarn Council, Standards & Guidelines, 2015 and 2018 (from memory). For a child take the lower end (common practice).")},
			reply.List{Title: r.Say("The editions contradict each other: the earlier, in a yarn maker's table of 2011, had others"), Items: earlier},
			reply.Tip{Text: r.Say("So never go by the word alone: ask a pattern for its finished chest, and compare with a garment that you like to wear. Fabric that does not stretch needs more.")},
		},
		Actions: []reply.Action{reply.Button{Label: r.Say("Woman's sizes"), Line: "/size chart table:woman"}, reply.Button{Label: r.Say("Man's sizes"), Line: "/size chart table:man"}},
		Data:    map[string]any{"ease": figures},
	}
}

// earlierEase is what the earlier edition said: "0", "2.5 to 5", "the same".
func earlierEase(e sizing.Ease, u measure.Unit) string {
	then, _, _ := strings.Cut(e.Earlier, ", in ")
	then = strings.TrimSuffix(then, " cm")
	low, high, two := strings.Cut(then, " to ")
	if !two || u != measure.Inches {
		return then
	}
	inches := func(text string) string {
		m, err := measure.Parse(text, measure.Centimetres)
		if err != nil {
			return text
		}
		return bareLength(measure.Of(math.Round(m.Length.In(u)), u), u)
	}
	return inches(low) + " to " + inches(high)
}

// easeSpan is an ease without its unit: "−10 to −5", "0", "15 and more".
func easeSpan(e sizing.Ease, u measure.Unit) words.Message {
	signed := func(l measure.Length) string {
		if u == measure.Inches { // published in whole inches
			l = measure.Of(math.Round(l.In(u)), u)
		}
		return strings.Replace(strings.TrimSuffix(l.Signed(u), " "+u.String()), "-", "−", 1)
	}
	switch {
	case e.Open:
		return words.Say("%s and more", signed(e.Low))
	case e.Low == e.High:
		return words.Say("%s", signed(e.Low))
	}
	return words.Say("%s to %s", signed(e.Low), signed(e.High))
}

// blanketChart is the usual sizes of blankets.
func blanketChart(r Request) reply.Reply {
	u := r.Settings.Units
	t := reply.Table{Head: r.Each("Blanket", words.Key(unitName(u))), Right: []bool{false, true}}
	var figures []map[string]any
	for _, b := range sizing.Blankets() {
		t.Rows = append(t.Rows, []string{r.Say(words.Key(b.Name)), bareLength(b.Width, u) + " × " + bareLength(b.Length, u)})
		figures = append(figures, map[string]any{"name": b.Name, "width_mm": round2(b.Width.MM()), "length_mm": round2(b.Length.MM())})
	}
	return reply.Reply{
		Title: r.Say("Usual blankets"),
		Parts: []reply.Block{
			t,
			reply.Text{Text: r.Say("Common practice, no source; what is printed elsewhere differs by up to twice. Measure the bed, the lap or the pram.")},
			reply.Caution{Text: r.Say("No loose blanket in a cot with a sleeping baby in the first year: use it awake and watched, or in the pram. No fringes, and holes too small for fingers.")},
		},
		Actions: []reply.Action{reply.Button{Label: r.Say("Yarn for a throw"), Line: "/yarn need piece:throw blanket yarn:worsted"}},
		Data:    map[string]any{"blankets": figures},
	}
}
