package commands

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"countwright/calc/gauge"
	"countwright/calc/measure"
	"countwright/calc/sizing"
	"countwright/calc/yarn"
	"countwright/commands/reply"
	"countwright/commands/words"
)

func yarnNeed(s Services) *Command {
	n := needOptions{
		piece: Words("piece", "What you make: pullover, hat, shawl, throw blanket", 40).Like("pullover").Suggest(suggestPieces),
		size:  Words("size", "Its size, for a garment: woman M, 6 months, 2X", 40).Like("woman M").Suggest(suggestSizes),
		width: Length("width", "Or a piece of this width", measure.Centimetre, gauge.MaxFinished).Like("120 cm"),
		high:  Length("length", "and this length", measure.Centimetre, gauge.MaxFinished).Like("150 cm"),
		area:  Number("area", "Or so many square metres of fabric", 0.0001, 100).Like("1.2"),
		spare: Int("spare", "To spare, in percent; 10 if not said", 0, 100).Default(10).Like("10"),
	}
	f := fabricOptions(s)
	return &Command{
		Name: "need", Short: "How much yarn to buy: metres, grams, balls with some to spare",
		Want: "know how much yarn to buy",
		Long: "Say what you make (piece:pullover size:woman M) or how large it is (width, length), and the yarn, your gauge or a swatch. " +
			"A swatch with its weight is the surest; usual figures can be off by a quarter.",
		Options: []Option{n.piece, n.size, n.width, n.high, n.area, f.yarn, f.gauge, f.swatch, f.stitch, n.spare},
		Examples: []string{
			"/yarn need piece:pullover size:woman M yarn:DK",
			"/yarn need width:120 cm length:150 cm yarn:worsted, 100 g = 170 m stitch:hdc",
			"/yarn need piece:hat size:6 months gauge:18x20",
		},
		Run: func(ctx context.Context, r Request) (reply.Reply, error) {
			wanted, err := n.wanted(r)
			if err != nil {
				return reply.Reply{}, err
			}
			use, err := f.use(ctx, s, r)
			if err != nil {
				return reply.Reply{}, err
			}
			amount, err := use.Need(wanted.area, float64(n.spare.Of(r))/100, f.yarn.Of(r).ball)
			if err != nil {
				return reply.Reply{}, n.blame(r, err)
			}
			return needReply(r, wanted, use, amount), nil
		},
	}
}

// needOptions say how much fabric is wanted.
type needOptions struct {
	piece, size *Opt[string]
	width, high *Opt[measure.Measured]
	area        *Opt[float64]
	spare       *Opt[int]
}

// wanted is the fabric of a piece.
type wanted struct {
	area   float64       // square millimetres
	what   words.Message // "a pullover, woman M"
	panels []yarn.Panel
	infant bool // it can be for a baby: cautions go with it
	cot    bool // it is a blanket for a baby
}

func (n needOptions) blame(r Request, err error) error {
	if n.area.Given(r) {
		return n.area.Blame(yarnError(err))
	}
	if n.width.Given(r) {
		return n.width.Blame(yarnError(err))
	}
	return n.piece.Blame(yarnError(err))
}

const needExample = "/yarn need piece:pullover size:woman M yarn:DK"

func (n needOptions) wanted(r Request) (wanted, error) {
	sized := n.width.Given(r) || n.high.Given(r)
	if countTrue(n.piece.Given(r), sized, n.area.Given(r)) != 1 {
		return wanted{}, Mistaken(needExample, "say one of: what you make (piece), its width and length, or its area")
	}
	if n.size.Given(r) && !n.piece.Given(r) {
		return wanted{}, &Mistake{Option: "size", Message: "it goes with piece: a size of what?", Example: "piece:pullover size:woman M"}
	}
	switch {
	case n.area.Given(r):
		return wanted{area: n.area.Of(r) * 1e6, what: words.Say("%s m² of fabric", figure2(n.area.Of(r)))}, nil
	case sized:
		if !n.width.Given(r) || !n.high.Given(r) {
			return wanted{}, Mistaken("/yarn need width:120 cm length:150 cm yarn:DK", "a piece has a width and a length; give both")
		}
		w, l := n.width.Of(r).Length, n.high.Of(r).Length
		units := r.Settings.Units
		return wanted{area: w.MM() * l.MM(), what: words.Say("a piece of %s × %s", w.Text(units), l.Text(units))}, nil
	}
	return n.wantedPiece(r)
}

func (n needOptions) wantedPiece(r Request) (wanted, error) {
	asked := meant(r.Printer, n.piece.Of(r), pieceNames())
	p, err := yarn.PieceNamed(asked)
	if err != nil {
		m := &Mistake{Option: "piece", Message: "I don't know how large “%s” is; say its width and length instead, or one of: %s", Args: []any{clip(asked, 40), listing(asArgs(pieceNames())...)}, Example: "piece:pullover"}
		if near := nearest(strings.ToLower(asked), pieceWords()); near != "" {
			m.say("there is no “%s”; did you mean %s?", clip(asked, 40), words.Key(near))
			m.Example = "piece:" + near
		}
		return wanted{}, m
	}
	w := wanted{what: words.Say("a %s", words.Key(p.Name)), infant: p.Small}
	if strings.HasSuffix(p.Name, "s") {
		w.what = words.Say("%s", words.Key(p.Name))
	}
	var body sizing.Body
	if p.Body {
		sized, err := sizeFor(n.size, englishSize(r.Printer, n.size.Of(r)), p.Needs[0] == sizing.Head)
		if err != nil {
			return wanted{}, err
		}
		c, err := sized.Table.Of(sized.Size.Name, nil)
		if err != nil {
			return wanted{}, fmt.Errorf("complete the size %s: %w", sized.Size.Name, err)
		}
		body, w.infant = c.Body, sized.Table.Audience == sizing.Infant
		w.what = words.Say("%s, %s", w.what, sizedWords(sized.Table, sized.Size.Name))
	} else if n.size.Given(r) {
		return wanted{}, &Mistake{Option: "size", Message: "%s has no sizes here; give its width and length instead", Args: []any{w.what}, Example: "width:120 cm length:150 cm"}
	}
	w.cot = strings.HasSuffix(p.Name, "blanket") && p.Small
	w.panels, err = p.Panels(body, classicEase(body))
	if err != nil {
		return wanted{}, fmt.Errorf("reckon the panels: %w", err)
	}
	w.area = yarn.AreaOf(w.panels)
	return w, nil
}

// classicEase is the ease of a garment where nothing is said: the classic one,
// or for a small body a tenth of its chest.
func classicEase(body sizing.Body) measure.Length {
	usual := 8 * measure.Centimetre
	if e, err := sizing.EaseNamed("classic"); err == nil {
		usual = e.Usual()
	}
	return min(usual, body[sizing.Chest].Scale(0.1))
}

func pieceNames() []words.Key {
	var names []words.Key
	for _, p := range yarn.Pieces() {
		names = append(names, words.Key(p.Name))
	}
	return names
}

// pieceWords is every word by which a piece is found.
func pieceWords() []string {
	var all []string
	for _, p := range yarn.Pieces() {
		all = append(append(all, p.Name), p.Also...)
	}
	return all
}

func suggestPieces(_ context.Context, r Request, typed string) []Choice {
	var offers []Choice
	for _, p := range yarn.Pieces() {
		for i, name := range append([]string{p.Name}, p.Also...) {
			label := name
			if i == 0 {
				label = r.Say(words.Key(name))
			}
			if strings.Contains(strings.ToLower(label), strings.ToLower(strings.TrimSpace(typed))) {
				offers = append(offers, Choice{Label: label, Value: name})
				break
			}
		}
	}
	return offers[:min(len(offers), 25)]
}

func needReply(r Request, w wanted, use fabricUse, a yarn.Amount) reply.Reply {
	units := r.Settings.Units
	inGrams := a.Ball.Metres == 0
	doubt := use.doubtIn(inGrams)
	items := []reply.Field{
		{Name: r.Say("Length"), Value: aboutRange(r, a.Metres, use.doubtIn(false), func(v float64) string { return metresText(v, units) })},
		{Name: r.Say("Weight"), Value: aboutRange(r, a.Grams, use.doubtIn(true), func(v float64) string { return gramsText(v, measure.Centimetres) }) + ouncesText(a.Grams, units)},
		{Name: r.Say("Balls"), Value: r.Say("%d of %s, %.0f %% to spare included", a.Balls, ballText(a.Ball, units), 100*a.Spare)},
		{Name: r.Say("Fabric"), Value: r.Say("%s at %s", areaWords(w.area, units), gaugeText(use.gauge, units))},
	}
	parts := []reply.Block{reply.Fields{Items: items}, reply.Text{Text: r.Say("%s Give or take %s.", use.from, percent(doubt))}}
	if len(w.panels) > 1 {
		var list []string
		for _, p := range w.panels {
			list = append(list, panelText(r, p))
		}
		parts = append(parts, reply.List{Title: r.Say("Taken as (a pattern knows better)"), Items: list})
	}
	if most := ceil(exactBalls(a) * (1 + doubt)); most > a.Balls && a.Balls > 0 {
		parts = append(parts, reply.Text{Text: r.Say("If it comes out at the upper end, that is %d balls. Ask whether the shop takes back unopened ones.", most)})
	}
	if a.OneLot {
		parts = append(parts, reply.Tip{Text: r.Say("Buy all balls at once and of one dye lot (the number on the band): lots differ, and it shows. Of two lots, change ball every second row.")})
	}
	if use.surer {
		parts = append(parts, swatchHint(r))
	}
	parts = append(parts, w.cautions(r)...)
	return reply.Reply{
		Title: r.Say("About %s for %s: %s", metresText(a.Metres, units), w.what, ballCount(a.Balls)), Parts: parts,
		Data: map[string]any{
			"metres": round2(a.Metres), "grams": round2(a.Grams), "balls": a.Balls, "spare_percent": round2(100 * a.Spare),
			"doubt_percent": round2(100 * doubt), "area_m2": round2(w.area/1e4) / 100, "ball": map[string]float64{"grams": a.Ball.Grams, "metres": round2(a.Ball.Metres)},
			"gauge": use.gauge.String(),
		},
	}
}

// areaWords is an area of fabric in square metres or yards.
func areaWords(area float64, u measure.Unit) words.Message {
	if u == measure.Inches {
		return words.Say("%s sq yd", figure2(area/914.4/914.4))
	}
	return words.Say("%s m²", figure2(area/1e6))
}

// exactBalls is the balls of an amount before they are rounded up, with the
// spare.
func exactBalls(a yarn.Amount) float64 {
	if a.Ball.Metres > 0 {
		return a.Metres / a.Ball.Metres * (1 + a.Spare)
	}
	return a.Grams / a.Ball.Grams * (1 + a.Spare)
}

func ceil(v float64) int { return int(math.Ceil(v - 1e-9)) }

// aboutRange is an amount with what the doubt leaves: "about 1150 m (870 to 1440 m)".
func aboutRange(r Request, v, doubt float64, text func(float64) string) string {
	low, high := text(v*(1-doubt)), text(v*(1+doubt))
	if low == high {
		return r.Say("about %s", text(v))
	}
	low, _, _ = strings.Cut(low, " ")
	return r.Say("about %s (%s to %s)", text(v), low, high)
}

func percent(part float64) string { return fmt.Sprintf("%.0f %%", 100*part) }

func ballCount(n int) words.Message { return words.Count(n, "%d ball", "%d balls") }

func panelText(r Request, p yarn.Panel) string {
	u := r.Settings.Units
	whole := func(l measure.Length) string { return measure.Of(math.Round(l.In(u)), u).Text(u) }
	text := r.Say("%s: %s × %s", words.Key(p.Name), whole(p.Width), whole(p.Length))
	if p.Count > 1 {
		text = fmt.Sprintf("%d × %s", p.Count, text)
	}
	return text
}

// cautions are those that belong to things for babies.
func (w wanted) cautions(r Request) []reply.Block {
	switch {
	case w.cot:
		return []reply.Block{reply.Caution{Text: r.Say("No loose blanket in a cot with a sleeping baby in the first year: use it awake and watched, or in the pram. Keep edges free of fringes, and holes small, for fingers catch.")}}
	case w.infant:
		return []reply.Block{reply.Caution{Text: r.Say("For a baby: washable yarn that sheds no hair, no cords or drawstrings at the neck, no buttons or eyes that can come off, no hat indoors for sleeping. What is sold for children must meet local rules.")}}
	}
	return nil
}

// sizeNamed is the size of a body that a member means; an empty name and an
// adult's are a woman's M.
func sizeNamed(option *Opt[string], name string) (sizing.Sized, error) {
	return sizeFor(option, name, false)
}

// sizeFor is sizeNamed, with sizes of heads alone where a hat is made.
func sizeFor(option *Opt[string], name string, hat bool) (sizing.Sized, error) {
	if plain := strings.ToLower(strings.TrimSpace(name)); plain == "" || plain == "adult" {
		name = "woman M"
	}
	list := strings.Fields(name)
	for n := min(2, len(list)-1); n > 0; n-- { // "woman M", "M woman", "EN woman 92"
		for _, parts := range [][2][]string{{list[:n], list[n:]}, {list[len(list)-n:], list[:len(list)-n]}} {
			table, err := sizing.Named(strings.Join(parts[0], " "))
			if err != nil {
				continue
			}
			size, err := table.Size(strings.Join(parts[1], " "))
			if err != nil {
				return sizing.Sized{}, option.Blame(sizeMistake(table, strings.Join(parts[1], " ")))
			}
			return sizing.Sized{Table: table, Size: size}, nil
		}
	}
	found, err := sizing.SizesNamed(name)
	var unknown *sizing.NameError
	if errors.As(err, &unknown) {
		return sizing.Sized{}, option.Blame(words.Say("no size is called “%s”; say who it is for and the size: woman M, man XL, child 8, baby 6 months", clip(name, 40)))
	}
	for _, f := range found {
		if hat || f.Table.Key == sizing.Chest {
			return f, nil
		}
	}
	return sizing.Sized{}, option.Blame(words.Say("“%s” is a size of heads; say who it is for: woman M, man XL, child 8, baby 6 months", clip(name, 40)))
}

func sizeMistake(t *sizing.Table, name string) error {
	var sizes []any
	for _, s := range t.Sizes {
		sizes = append(sizes, words.Key(s.Name))
	}
	return words.Say("the table “%s” has no size “%s”; it has %s", words.Key(t.Name), clip(name, 40), listing(sizes...))
}

// sizedWords is a size with whose it is: "woman M", "head 6 months".
func sizedWords(t *sizing.Table, size string) words.Message {
	return words.Say("%s %s", words.Key(t.Name), words.Key(size))
}

// englishSize is a size by its English name where it was written in the
// printer's language; else as it was written.
func englishSize(p words.Printer, name string) string {
	if p.English() {
		return name
	}
	for _, t := range sizing.Tables() {
		for _, size := range t.Sizes {
			if strings.EqualFold(strings.TrimSpace(name), p.Of(sizedWords(t, size.Name))) {
				return t.Name + " " + size.Name
			}
		}
	}
	return name
}

// suggestSizes offers the sizes of the main tables.
func suggestSizes(_ context.Context, r Request, typed string) []Choice {
	typed = strings.ToLower(strings.TrimSpace(typed))
	var begun, inside []Choice
	for _, t := range sizing.Tables() {
		if !t.Main || t.Key != sizing.Chest {
			continue
		}
		for _, size := range t.Sizes {
			name, label := t.Name+" "+size.Name, r.Of(sizedWords(t, size.Name))
			switch lower := strings.ToLower(label); {
			case strings.HasPrefix(lower, typed) || strings.EqualFold(size.Name, typed):
				begun = append(begun, Choice{Label: label, Value: name})
			case strings.Contains(lower, typed):
				inside = append(inside, Choice{Label: label, Value: name})
			}
		}
	}
	offers := append(begun, inside...)
	return offers[:min(len(offers), 25)]
}
