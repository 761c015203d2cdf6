package commands

import (
	"fmt"
	"strings"

	"countwright/calc/term"
	"countwright/commands/reply"
)

// guide leads through several commands to what a person wants to do.
type guide struct {
	name  string // as the line has it
	level string // whom it is for
	want  string // "make my first stitches"
	steps []guideStep
	last  string // a word on comfort or safety
}

// guideStep is one thing to do. Its text and its line have the stitches in
// braces, as term.Say fills them in.
type guideStep struct {
	text string
	line string // the command for it
	tap  string // the label of a button for it; empty where the line needs the member's own numbers
}

// guides are all ways, in the order of help.
var guides = []guide{
	{"first stitches", beginner, "make my first stitches", []guideStep{
		{"Take a smooth, light yarn of medium weight and the hook that suits it.", "/hook for:worsted", "Which hook?"},
		{"Begin with the chain, until it lies even.", "/stitch name:{ch}", "The chain"},
		{"Then learn the short stitch, {sc:name}.", "/stitch name:{sc}", "{Sc:name}"},
		{"Then the taller one, {dc:name}. With these two you can make most things.", "/stitch name:{dc}", "{Dc:name}"},
		{"Count the stitches of each row. If the edges go in or out, tell me.", "/trouble symptom:edges slant in", "My edges slant"},
	}, "Stop every half hour and stretch your fingers. Nothing should hurt."},
	{"first pattern", beginner, "read my first pattern", []guideStep{
		{"Find out the terms. The same words mean other stitches in US and in UK patterns.", "/trouble symptom:terms mixed up", "US or UK?"},
		{"Look up each abbreviation that you do not know.", "/term word:rep from *", "What is rep from *?"},
		{"Learn the stitches it uses.", "/stitch name:{hdc}", "{Hdc:name}"},
		{"If the terms are not yours, have the text put into yours.", `/pattern terms text:"Row 1: Ch 1, sc in each st across. (20 sc)"`, ""},
		{"Make a swatch before you begin, and keep its numbers.", "/gauge swatch stitches:21 rows:15 width:15 cm height:15 cm stitch:{hdc}", ""},
	}, "Work when you are rested, in good light."},
	{"yarn and hook", beginner, "choose yarn and hook", []guideStep{
		{"Say what you know of the yarn: its name, or the metres in 100 g.", "/yarn weight label:50 g = 110 m", ""},
		{"See which hooks suit that weight.", "/hook for:DK", "Hooks for DK"},
		{"Work a swatch and measure it.", "/gauge swatch stitches:21 rows:15 width:15 cm height:15 cm stitch:{hdc}", ""},
		{"Find out how much yarn the whole piece takes.", "/yarn need piece:hat yarn:DK", "Yarn for a hat"},
		{"Look at how it can be washed.", "/yarn care fibre:wool", "Washing wool"},
	}, "For babies take yarn that can be washed, and leave off buttons, cords and long fringes."},
	{"fit", "maker", "make a garment that fits", []guideStep{
		{"Swatch in the stitch of the body, wash it, measure it.", "/gauge swatch stitches:21 rows:15 width:15 cm height:15 cm stitch:{hdc} washed:yes", ""},
		{"Measure the body, and see which size is nearest and where you differ.", "/size find chest:107 cm", ""},
		{"Have the pattern worked out in your counts.", "/resize pattern:cardigan chest:107 cm gauge:14x10", ""},
		{"Buy the yarn, with some to spare.", "/yarn need piece:pullover yarn:DK", "Yarn for a pullover"},
		{"Mark where the shaping falls before you begin.", "/even slope stitches:20 rows:60 edges:both", ""},
	}, "Try it on early and often: tape measures and yarn both give."},
	{"other yarn", "maker", "use another yarn", []guideStep{
		{"Compare the two yarns: weight, fibre, length, washing.", `/yarn swap from:"worsted wool, 50 g = 98 m" to:"DK cotton, 50 g = 115 m"`, ""},
		{"Swatch with the new one.", "/gauge swatch stitches:21 rows:15 width:15 cm height:15 cm", ""},
		{"See what comes out if you just follow the pattern.", "/gauge follow theirs:16x12 mine:14x10 width:100 cm", ""},
		{"If that is not what you want, change the counts.", "/gauge convert from:16x12 to:14x10 stitches:120", ""},
	}, "Another fibre hangs and washes otherwise: wash the swatch as you will wash the piece."},
	{"own pattern", "maker", "check a pattern that I wrote", []guideStep{
		{"Have each row worked stitch by stitch.", `/pattern check text:"Row 1: Ch 1, sc in each st across. (20 sc)" start:20`, ""},
		{"See it as a chart.", `/pattern chart text:"Rnd 1: 6 sc in magic ring. (6 sc)\nRnd 2: 2 sc in each st around. (12 sc)"`, ""},
		{"Put it into the other terms for those who read them.", `/pattern terms text:"Row 1: Ch 1, sc in each st across. (20 sc)"`, ""},
	}, "For children's things say in the pattern how to make them safe. If you sell them, tests are required that differ by country."},
	{"make-along", "host", "prepare a make-along", []guideStep{
		{"Check the pattern's counts before anyone begins.", `/pattern check text:"Row 1: Ch 1, sc in each st across. (20 sc)" start:20`, ""},
		{"Keep it here, where all can read it.", `/pattern add name:little ball author:Mira licence:CC BY 4.0 text:"Rnd 1: 6 sc in magic ring (6)"`, ""},
		{"Have it ready in both terms.", `/pattern terms text:"Row 1: Ch 1, sc in each st across. (20 sc)"`, ""},
		{"Ask everyone for a swatch in the first week.", "/gauge swatch stitches:21 rows:15 width:15 cm height:15 cm", ""},
		{"Look up the sizes that your people will need.", "/size chart table:woman", "Woman's sizes"},
	}, "Plan rest weeks. Nobody is behind: people make at their own pace."},
	{"all sizes", "host", "serve every size and yarn", []guideStep{
		{"Work the pattern out for a whole run of sizes.", "/resize pattern:cardigan run:woman gauge:14x10", ""},
		{"See the body measures behind a size.", "/size chart table:woman", "Woman's sizes"},
		{"Show how to use another yarn.", "/help guide:other yarn", "Another yarn"},
		{"Send beginners to the guide for them.", "/help guide:first stitches", "First stitches"},
	}, "Measure kindly: people choose what they tell."},
}

// guideOption declares the option that names a guide.
func guideOption() *Opt[guide] {
	o := Value("guide", "A way through several steps", "first stitches", func(text string, _ Settings) (guide, error) {
		var names []string
		for _, g := range guides {
			if strings.EqualFold(g.name, text) {
				return g, nil
			}
			names = append(names, g.name)
		}
		return guide{}, fmt.Errorf("%q is none of %s", clip(text, 40), strings.Join(names, ", "))
	})
	for _, g := range guides {
		o.spec.Choices = append(o.spec.Choices, Choice{Label: g.want, Value: g.name})
	}
	return o
}

// in is the line of a step in the terms of the answer; one that names stitches
// to be explained says which terms those are.
func (s guideStep) in(r Request) string {
	line := term.Say(s.line, r.dialect())
	if strings.HasPrefix(line, "/stitch ") || strings.HasPrefix(line, "/term ") {
		line += " terms:" + termsName(r.Terms())
	}
	return line
}

// reply tells the guide in the terms of the answer.
func (g guide) reply(r Request) reply.Reply {
	var items []string
	var next []reply.Action
	for _, s := range g.steps {
		line := s.in(r)
		items = append(items, term.Say(s.text, r.dialect())+" → "+line)
		if s.tap != "" {
			next = append(next, reply.Button{Label: upperFirst(term.Say(s.tap, r.dialect())), Line: line})
		}
	}
	next = append(next, r.switchTerms(nil), reply.Button{Label: "All I can do", Line: "/help"})
	return reply.Reply{Title: "How to " + strings.ReplaceAll(strings.ReplaceAll(g.want, " my ", " your "), " I ", " you "),
		Parts:   []reply.Block{reply.Steps{Items: items}, reply.Tip{Text: g.last}},
		Actions: next, Data: map[string]any{"guide": g.name, "steps": len(g.steps), "terms": termsName(r.Terms())}}
}
