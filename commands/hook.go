package commands

import (
	"context"
	"fmt"
	"math"
	"strings"

	"countwright/calc/hook"
	"countwright/calc/measure"
	"countwright/commands/picture"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// hookCommand is about hooks: their sizes in every numbering, and which to take.
func hookCommand(s Services) *Command {
	size := hookName("size", "A hook in any numbering: 5 mm, H-8, UK 6, 8/0, steel 7").Like("H-8")
	yarnFor := hookFor(s)
	ribbing := YesNo("ribbing", "Which hook for ribbing on work of this hook or yarn?")
	instead := hookName("instead", "Another hook, to see what it does to your stitches").Like("5.5 mm")
	return &Command{
		Name: "hook", Short: "Hook sizes in every numbering, and which hook to take",
		Want: "choose a hook, or know what its number means",
		Long: "Letters and numbers differ between makers, countries and years; millimetres don't. " +
			"Ask by any name, or ask which hook suits a yarn (for:DK) or one of your swatches.",
		Options: []Option{size, yarnFor, ribbing, instead},
		Examples: []string{
			"/hook size:H-8", "/hook size:7", "/hook for:DK", "/hook size:5 mm ribbing:yes", "/hook size:5 mm instead:5.5 mm",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			if !size.Given(r) && !yarnFor.Given(r) {
				return reply.Reply{}, Mistaken("/hook size:H-8", "say which hook (size:H-8), or what it is for (for:DK)")
			}
			a := hookAnswer{data: map[string]any{}}
			if size.Given(r) {
				found, err := findHook(size.Of(r))
				if err != nil {
					return reply.Reply{}, size.Blame(words.Say("%s; or ask which hook suits a yarn: for:DK", err))
				}
				if len(found) > 1 && (ribbing.Of(r) || instead.Given(r)) && found[0].matches[0].System == hook.Millimetres {
					a.add(reply.Text{Text: r.Say("I took “%s” as millimetres.", size.Of(r))})
					found = found[:1]
				}
				if len(found) > 1 {
					rest := ""
					if ribbing.Of(r) {
						rest = " ribbing:yes"
					}
					return hookCandidates(r, size.Of(r), found, rest)
				}
				a.asked = &found[0]
			}
			if yarnFor.Given(r) {
				wanted, err := purposeOf(ctx, s, r, yarnFor)
				if err != nil {
					return reply.Reply{}, err
				}
				a.purpose = &wanted
			}
			if instead.Given(r) {
				if a.asked == nil {
					return reply.Reply{}, &Mistake{Option: "instead", Message: "it goes with size: which hook do you change from?", Example: "/hook size:5 mm instead:5.5 mm"}
				}
				other, err := findHook(instead.Of(r))
				if err != nil {
					return reply.Reply{}, instead.Blame(err)
				}
				if len(other) > 1 && other[0].matches[0].System != hook.Millimetres {
					return reply.Reply{}, &Mistake{Option: "instead", Message: "%s", Args: []any{severalHooks(instead.Of(r), other)}, Example: "instead:" + other[0].size()}
				}
				a.instead = &other[0]
			}
			return a.reply(ctx, s, r, ribbing.Of(r))
		},
	}
}

// hookAnswer is what /hook has to say; nil parts were not asked.
type hookAnswer struct {
	asked   *foundHook
	purpose *hookPurpose
	instead *foundHook
	data    map[string]any
	shown   []float64 // thicknesses in the picture
	marked  float64   // the one of them that is set off
	parts   []reply.Block
	next    []reply.Action
}

func (a *hookAnswer) add(b reply.Block) { a.parts = append(a.parts, b) }

func (a *hookAnswer) reply(ctx context.Context, s Services, r Request, ribbing bool) (reply.Reply, error) {
	var title string
	var err error
	if a.asked != nil {
		a.data["asked"], a.data["hooks"] = a.asked.text, []any{a.asked.figures()}
		a.notQuite(r)
	}
	switch {
	case a.instead != nil:
		title = r.Say("%s instead of %s", a.instead.size(), a.asked.size())
		err = a.change(ctx, s, r)
	case ribbing:
		title = r.Say("Which hook for ribbing")
		err = a.ribbing(r)
	case a.asked != nil:
		title = a.asked.title(r)
		if a.purpose == nil {
			a.describe(r)
		}
		a.beside(r)
	}
	if err != nil {
		return reply.Reply{}, err
	}
	if a.purpose != nil && !ribbing {
		if title == "" {
			title = r.Say("Hooks for %s", a.purpose.name)
		}
		a.suit(r)
	}
	shown := hooksShown(r, title, a.shown, a.marked)
	drawing, err := shown.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw hooks: %w", err)
	}
	a.add(hookPicture(r, shown, drawing))
	a.comfort(r)
	return reply.Reply{Title: title, Parts: a.parts, Actions: a.next, Data: a.data}, nil
}

// hooksShown is hooks for a picture, from thin to thick, each thickness once.
func hooksShown(r Request, title string, all []float64, marked float64) picture.Hooks {
	return picture.Hooks{
		Title: title, Hooks: shownHooks(r, all, marked), Inches: r.Settings.Units == measure.Inches,
		Note: r.Say("Life-size only where this ruler measures true. Screens differ: hold a real ruler to it, or print the picture 100 mm wide."),
	}
}

func hookPicture(r Request, shown picture.Hooks, d *picture.Drawing) reply.Picture {
	var names []string
	for _, h := range shown.Hooks {
		names = append(names, h.Name)
	}
	alt := r.Say("Hooks drawn to scale: %s. A ruler stands below: the picture is life-size only where it measures true.", strings.Join(names, ", "))
	d.Description = alt
	return reply.Picture{Name: "hook", Alt: alt, Drawing: d}
}

// notQuite says that the thickness asked for is no usual one.
func (a *hookAnswer) notQuite(r Request) {
	if f := a.asked; f.off != 0 {
		format := words.Key("No usual hook is %s. The nearest is %s, %s thicker.")
		if f.off < 0 {
			format = "No usual hook is %s. The nearest is %s, %s thinner."
		}
		a.add(reply.Text{Text: r.Say(format, millimetres(f.wanted), f.size(), millimetres(math.Abs(f.off)))})
	}
}

// describe says a size in every numbering, beside the sizes next to it.
func (a *hookAnswer) describe(r Request) {
	f := a.asked
	items := append([]reply.Field{{Name: r.Say("Millimetres"), Value: f.size()}}, f.fields(r)...)
	if suits := r.Of(yarnsOf(f.mm)); suits != "" {
		items = append(items, reply.Field{Name: r.Say("Usual yarn"), Value: suits})
	}
	a.add(reply.Fields{Items: items})
	if f.some() {
		a.add(reply.Tip{Text: r.Say("Makers print letters and numbers differently. Go by the millimetres on the hook; without any, push it through a hook gauge.")})
	}
}

// beside shows a size with those next to it, and offers what to ask next.
func (a *hookAnswer) beside(r Request) {
	f := a.asked
	thinner, thicker := f.neighbours()
	a.shown, a.marked = []float64{thinner, f.mm, thicker}, f.mm
	a.next = append(a.next, reply.Button{Label: r.Say("Hook for ribbing"), Line: "/hook size:" + f.size() + " ribbing:yes"})
	if thicker != f.mm {
		a.next = append(a.next, reply.Button{Label: r.Say("What a size larger does"), Line: "/hook size:" + f.size() + " instead:" + millimetres(thicker)})
	}
}

// comfort is the caution for hooks that tire the hand.
func (a *hookAnswer) comfort(r Request) {
	if mm := a.shown[len(a.shown)/2]; mm < 1.5 || mm >= 10 {
		a.add(reply.Tip{Text: r.Say("Very thin and very thick hooks tire the hand. Stop every half hour and stretch; pain that stays is for a doctor or physiotherapist.")})
	}
}

// hookCandidates answers a name that several hooks go by.
func hookCandidates(r Request, text string, found []foundHook, rest string) (reply.Reply, error) {
	text = clip(text, 20)
	table := reply.Table{Head: r.Each("Size", "Meant as")}
	var all []float64
	var figures []any
	var next []reply.Action
	for _, f := range found {
		table.Rows = append(table.Rows, []string{f.size(), f.meant(r)})
		all = append(all, f.mm)
		figures = append(figures, f.figures())
		if len(next) < 5 {
			next = append(next, reply.Button{Label: f.size(), Line: "/hook size:" + f.size() + rest})
		}
	}
	shown := hooksShown(r, r.Say("What “%s” can be", text), all, 0)
	drawing, err := shown.Draw()
	if err != nil {
		return reply.Reply{}, fmt.Errorf("draw hooks: %w", err)
	}
	parts := []reply.Block{
		reply.Text{Text: r.Say("“%s” names %d sizes. Which one depends on the maker, the country and the kind of hook.", text, len(found))},
		table,
		reply.Tip{Text: r.Say("The millimetres on the hook decide. A steel hook is for thread, thin, and numbered the other way round: the higher, the thinner.")},
		hookPicture(r, shown, drawing),
	}
	return reply.Reply{Title: r.Say("“%s” can be %d hooks", text, len(found)), Parts: parts, Actions: next,
		Data: map[string]any{"asked": text, "hooks": figures}}, nil
}

func severalHooks(text string, found []foundHook) words.Message {
	var sizes []any
	for _, f := range found {
		sizes = append(sizes, f.size())
	}
	return words.Say("“%s” can be %s; say which", text, either(sizes...))
}
