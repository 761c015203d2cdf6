package commands

import (
	"context"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/commands/reply"
)

// The limits of the chat service on what is declared.
// Source: the service's documentation, application commands, as of August 2026.
var declaredName = regexp.MustCompile(`^[-_\p{Ll}\p{N}]{1,32}$`)

func TestDeclarationsKeepTheLimits(t *testing.T) {
	set := All(newMemory().services(), nil)
	if len(set.Commands) > 100 {
		t.Errorf("%d commands; 100 are allowed", len(set.Commands))
	}
	for _, c := range set.Commands {
		checkDeclared(t, c)
		size := 0
		for _, sub := range append([]*Command{c}, c.Sub...) {
			size += len(sub.Name) + len(sub.Short)
			for _, o := range sub.Options {
				size += len(o.Spec().Name) + len(o.Spec().Short)
				for _, choice := range o.Spec().Choices {
					size += len(choice.Label) + len(choice.Value)
				}
			}
		}
		if size > 8000 {
			t.Errorf("/%s is declared with %d characters; 8000 are allowed", c.Name, size)
		}
	}
}

func checkDeclared(t *testing.T, c *Command) {
	t.Helper()
	checkText(t, "/"+c.Path(), c.Name, c.Short)
	if (c.Run == nil) == (len(c.Sub) == 0) {
		t.Errorf("/%s must either run or be a family", c.Path())
	}
	if len(c.Sub) > 25 || len(c.Options) > 25 {
		t.Errorf("/%s has %d commands and %d options; 25 are allowed", c.Path(), len(c.Sub), len(c.Options))
	}
	if c.Run != nil && len(c.Examples) == 0 {
		t.Errorf("/%s has no example", c.Path())
	}
	optional, seen := false, map[string]bool{}
	for _, o := range c.Options {
		spec := o.Spec()
		checkText(t, "/"+c.Path()+" "+spec.Name, spec.Name, spec.Short)
		if seen[spec.Name] {
			t.Errorf("/%s has two options %s", c.Path(), spec.Name)
		}
		seen[spec.Name] = true
		if spec.Required && optional {
			t.Errorf("/%s: required %s stands behind an optional one", c.Path(), spec.Name)
		}
		optional = optional || !spec.Required
		if len(spec.Choices) > 25 || len(spec.Choices) > 0 && spec.Suggest != nil {
			t.Errorf("/%s %s: %d choices, suggestions: %t", c.Path(), spec.Name, len(spec.Choices), spec.Suggest != nil)
		}
		if spec.Example == "" && spec.Kind != Flag {
			t.Errorf("/%s %s has no example value", c.Path(), spec.Name)
		}
		for _, choice := range spec.Choices {
			if choice.Label == "" || utf8.RuneCountInString(choice.Label) > 100 || choice.Value == "" || utf8.RuneCountInString(choice.Value) > 100 {
				t.Errorf("/%s %s: choice %q is empty or too long", c.Path(), spec.Name, choice.Label)
			}
		}
	}
	for _, sub := range c.Sub {
		checkDeclared(t, sub)
	}
}

func checkText(t *testing.T, where, name, short string) {
	t.Helper()
	if !declaredName.MatchString(name) {
		t.Errorf("%s: the name %q has characters that are not allowed", where, name)
	}
	if n := utf8.RuneCountInString(short); n < 1 || n > 100 {
		t.Errorf("%s: the text has %d characters; 1 to 100 are allowed", where, n)
	}
}

// withSwatch is the memory of a member who has one swatch, on a server that
// keeps one pattern.
func withSwatch() *memory {
	m := newMemory()
	m.swatches[asker.Member.ID] = []SavedSwatch{{Swatch: gauge.Swatch{
		Name: "rust wool", Stitches: 21, Rows: 15, Width: 15 * measure.Centimetre, Height: 15 * measure.Centimetre, Grams: 17,
	}}}
	kept := asker.Now.AddDate(0, 0, -3)
	m.patterns.kept = []SavedPattern{
		{Server: asker.Server, Name: "spring hat", Version: "1", Title: "Spring hat", Author: "Odile", Licence: "CC BY 4.0", Text: rightHat, Added: kept},
		{Server: asker.Server, Name: "coaster", Version: "1", Title: "Coaster", Text: "Rnd 1: 6 sc in magic ring (6)", Added: kept},
		{Server: asker.Server, Name: "coaster", Version: "2", Title: "Coaster", Text: "Rnd 1: 6 sc in magic ring (7)", Draft: true, Added: kept},
	}
	return withAlongs(withProjects(m))
}

// TestExamplesWork runs every declared example, in either terms and unit: they
// are what help shows.
func TestExamplesWork(t *testing.T) {
	for name, settings := range map[string]Settings{
		"stranger":          {},
		"inches, UK, maker": {Units: measure.Inches, Terms: termsNamed("UK"), Level: "maker"},
	} {
		t.Run(name, func(t *testing.T) {
			set := All(withSwatch().services(), nil)
			for _, path := range set.Paths() {
				c, _ := set.Lookup(path)
				for _, line := range c.Examples {
					m := withSwatch() // each line must work by itself
					m.settings[asker.Member.ID] = settings
					r := All(m.services(), nil).RunLine(context.Background(), asker, line)
					if r.Error != nil {
						t.Errorf("%s: %+v", line, *r.Error)
						continue
					}
					checkReply(t, line, r)
				}
			}
		})
	}
}

// unfit is what no reply should hold.
var unfit = regexp.MustCompile(`%!|<nil>|\bNaN\b|\bInf\b|stitchs`)

// checkReply holds every reply to what each surface needs.
func checkReply(t *testing.T, line string, r reply.Reply) {
	t.Helper()
	if r.Title == "" || len(r.Parts) == 0 && r.Form == nil {
		t.Errorf("%s: the reply says nothing", line)
	}
	if strings.Contains(r.Title, "\n") {
		t.Errorf("%s: the title runs over several lines", line)
	}
	text, err := reply.Plain(r)
	if err != nil {
		t.Errorf("%s: %v", line, err)
	}
	if bad := unfit.FindString(text); bad != "" {
		t.Errorf("%s: the reply holds %q:\n%s", line, bad, text)
	}
	if _, err := reply.JSON(r, nil, nil); err != nil {
		t.Errorf("%s: %v", line, err)
	}
	for _, p := range r.Parts {
		if p, ok := p.(reply.Picture); ok && (p.Alt == "" || utf8.RuneCountInString(p.Alt) > 1024 || p.Drawing == nil) {
			t.Errorf("%s: picture %s has an alt text of %d characters", line, p.Name, utf8.RuneCountInString(p.Alt))
		}
	}
	for _, a := range r.Actions {
		if b, ok := a.(reply.Button); ok && (len(b.Line) > 90 || utf8.RuneCountInString(b.Label) > 80) {
			t.Errorf("%s: the button %q is too long", line, b.Label)
		}
	}
}
