package commands

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"golang.org/x/tools/go/packages"
	"golang.org/x/tools/txtar"

	"countwright/calc/guide"
	"countwright/calc/stitch"
	"countwright/commands/words"
)

// translated are the families whose texts are all in the catalogs, by the first
// word of their files' names. The list only grows.
var translated = []string{"counts", "even", "finish", "gauge", "help", "hook", "line", "makealong", "me", "mistake", "name", "option", "own", "pattern", "phrase", "project", "resize", "set", "size", "stitch", "term", "trouble", "voice", "yarn"}

// undeclared are the families whose declarations are not all translated yet. The
// list only shrinks.
var undeclared = []string{}

// source is the program as the type checker reads it.
type source struct {
	packages []*packages.Package
	keys     map[words.Key][]token.Position // where each constant Key stands
}

var readSource = sync.OnceValues(func() (source, error) {
	mode := packages.NeedName | packages.NeedFiles | packages.NeedSyntax | packages.NeedTypes | packages.NeedTypesInfo | packages.NeedImports | packages.NeedExportFile
	list, err := packages.Load(&packages.Config{Mode: mode}, "countwright/commands", "countwright/commands/picture", "countwright/commands/reply", "countwright/bot/chat", "countwright/bot/room", "countwright/commands/sheet")
	if err != nil {
		return source{}, err
	}
	s := source{list, map[words.Key][]token.Position{}}
	for _, p := range list {
		ones := onesOf(p)
		for e, v := range p.TypesInfo.Types {
			named, ok := types.Unalias(v.Type).(*types.Named)
			if !ok || v.Value == nil || named.Obj().Name() != "Key" || named.Obj().Pkg() == nil || named.Obj().Pkg().Path() != "countwright/commands/words" || ones[e] {
				continue
			}
			key := words.Key(constant.StringVal(v.Value))
			s.keys[key] = append(s.keys[key], p.Fset.Position(e.Pos()))
		}
	}
	return s, nil
})

// onesOf are the texts for a count of one, which stand in the catalogs as forms
// of those for many.
func onesOf(p *packages.Package) map[ast.Expr]bool {
	ones := map[ast.Expr]bool{}
	for _, file := range p.Syntax {
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok && len(call.Args) > 2 {
				if f, ok := call.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "Count" {
					ones[call.Args[1]] = true
				}
			}
			return true
		})
	}
	return ones
}

func sourceOf(t *testing.T) source {
	t.Helper()
	s, err := readSource()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range s.packages {
		for _, e := range p.Errors {
			t.Fatalf("%s: %v", p.PkgPath, e)
		}
	}
	if len(s.keys) < 50 {
		t.Fatalf("only %d texts are found: the test looks in the wrong place", len(s.keys))
	}
	return s
}

// family is the first word of a file's name: "even" of even_edge.go.
func family(path string) string {
	name, _, _ := strings.Cut(strings.TrimSuffix(filepath.Base(path), ".go"), "_")
	return name
}

func isTranslated(at token.Position) bool {
	folder := filepath.Base(filepath.Dir(at.Filename))
	return folder != "commands" || slices.Contains(translated, family(at.Filename))
}

// calcTexts are the texts of package calc, whose errors and entries are said
// through the catalogs, too.
func calcTexts(t *testing.T) map[words.Key]bool {
	t.Helper()
	texts := map[words.Key]bool{}
	err := filepath.WalkDir("../calc", func(path string, d fs.DirEntry, err error) error {
		if strings.HasSuffix(path, ".toml") {
			return readTexts(path, texts)
		}
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if text, err := strconv.Unquote(lit.Value); err == nil {
					texts[words.Key(text)], texts[words.Key("in a pattern: "+text)] = true, true
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for key := range facts(t) {
		texts[key] = true
	}
	return texts
}

// readTexts adds the texts of a data file, as they stand there.
func readTexts(path string, texts map[words.Key]bool) error {
	body, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	var file any
	if err := toml.Unmarshal(body, &file); err != nil {
		return err
	}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case string:
			texts[words.Key(v)], texts[words.Key("in a pattern: "+v)] = true, true
		case []any:
			for _, e := range v {
				walk(e)
			}
		case map[string]any:
			for _, e := range v {
				walk(e)
			}
		}
	}
	walk(file)
	return nil
}

// catalogKeys are the texts that the catalogs translate, as their files have
// them.
func catalogKeys(t *testing.T) []words.Key {
	t.Helper()
	paths, err := filepath.Glob("words/texts/*.toml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no catalogs: %v", err)
	}
	var keys []words.Key
	for _, path := range paths {
		for key := range tableOf(t, path) {
			keys = append(keys, words.Key(key))
		}
	}
	return keys
}

func tableOf(t *testing.T, path string) map[string]any {
	t.Helper()
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var table map[string]any
	if err := toml.Unmarshal(body, &table); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return table
}

// TestNames holds the names of commands and options to what there is, and
// wants one of each in every language.
func TestNames(t *testing.T) {
	names, used := tableOf(t, "words/names.toml"), map[string]bool{}
	check := func(what, english string, keys ...string) {
		found := false
		for _, key := range keys {
			if in, ok := names[key].(map[string]any); ok && !found {
				found, used[key] = len(in) == 3, true
			}
		}
		if !found && english != "n" {
			t.Errorf("%s has no name in every language", what)
		}
	}
	var walk func(c *Command)
	walk = func(c *Command) {
		check("/"+c.Path(), c.Name, c.Path(), c.Name)
		for _, o := range c.Options {
			name := o.Spec().Name
			check("/"+c.Path()+" "+name, name, c.Path()+":"+name, ":"+name, name)
		}
		for _, sub := range c.Sub {
			walk(sub)
		}
	}
	for _, c := range All(Services{}, nil).Commands {
		walk(c)
	}
	for key := range names {
		if !used[key] {
			t.Errorf("nothing is called %q", key)
		}
	}
}

// bare are keys that hold no words: they are the same in every language.
var bare = regexp.MustCompile(`^(%[-+.\d]*[a-z]|[^\pL])*$`)

// declared are the texts of the declarations and of the guides, by the family
// that has them.
func declared() map[words.Key]string {
	all := map[words.Key]string{}
	var add func(family string, c *Command)
	add = func(family string, c *Command) {
		for _, text := range []string{c.Short, c.Long, c.Want} {
			all[words.Key(text)] = family
		}
		for _, o := range c.Options {
			all[words.Key(o.Spec().Short)] = family
			for _, choice := range o.Spec().Choices {
				if !slices.Contains(asTheyAre, choice.Label) {
					all[words.Key(choice.Label)] = family
				}
			}
		}
		for _, sub := range c.Sub {
			add(family, sub)
		}
	}
	for _, c := range All(Services{}, nil).Commands {
		add(c.Name, c)
	}
	for _, g := range guide.All(stitch.US) {
		family := "help"
		if g.Level == "host" {
			family = "makealong" // they lead through what hosts do
		}
		for _, s := range append([]guide.Step{{Do: g.Want, Tap: g.Last}}, g.Steps...) {
			all[words.Key(s.Do)], all[words.Key(s.Tap)] = family, family
		}
	}
	delete(all, "")
	return all
}

// asTheyAre are labels of choices that are the same in every language.
var asTheyAre = []string{"US", "UK", "cm", "English", "Deutsch", "Nederlands", "español", "español de América", "A4", "Letter"}

// TestTranslated finds texts of translated families that a catalog lacks.
func TestTranslated(t *testing.T) {
	var lacking []string
	check := func(key words.Key, where string) {
		var in []string
		for _, l := range words.Languages {
			if !bare.MatchString(string(key)) && !words.For(l.Code).Has(key) {
				in = append(in, l.Code)
			}
		}
		if len(in) > 0 {
			lacking = append(lacking, fmt.Sprintf("%s: %q is not in %s", where, key, strings.Join(in, ", ")))
		}
	}
	for key, places := range sourceOf(t).keys {
		if at := slices.IndexFunc(places, isTranslated); at >= 0 {
			check(key, filepath.Base(places[at].Filename))
		}
	}
	for key, family := range declared() {
		if !slices.Contains(undeclared, family) {
			check(key, "declaration of /"+family)
		}
	}
	sort.Strings(lacking)
	for _, l := range lacking {
		t.Error(l)
	}
}

// TestUsed finds entries of the catalogs that nothing says.
func TestUsed(t *testing.T) {
	said, inDeclarations, inCalc := sourceOf(t).keys, declared(), calcTexts(t)
	var unused []string
	for _, key := range catalogKeys(t) {
		if _, ok := inDeclarations[key]; !ok && len(said[key]) == 0 && !inCalc[key] {
			unused = append(unused, string(key))
		}
	}
	sort.Strings(unused)
	for _, key := range unused {
		t.Errorf("nothing says %q", key)
	}
}

// spoken are fields of replies that hold what is said, be it one word.
var spoken = []string{"Title", "Label", "Text", "Value", "Hint", "Alt"}

var optionValue = regexp.MustCompile(`^[a-z_]+:`)

var anyWord = regexp.MustCompile(`\pL{2,}`)

var prose = regexp.MustCompile(`\pL{2,} \p{Ll}{2,}`)

// TestNoBareProse finds sentences in translated families that are not Keys and
// so could never be said in another language.
func TestNoBareProse(t *testing.T) {
	s, ours := sourceOf(t), declared()
	for _, text := range []words.Key{"As my app has it", "yes", "%s, %s, %s: the pinned rows differ", "the sample of %q has no rows",
		"a an the in into of to on and with at as for is it", "what what's whats how why does do is are can when which where who should",
		"sl st", "turning chain", "in books before about 1930"} {
		ours[text] = "declared by hand; a value; a fault of ours; what is read, not said"
	}
	for _, text := range []words.Key{ // of make-alongs
		"the host wrote in the channel herself", "nobody has been in the channel since the last two posts", "nobody asks for help", // why a post is left out, for the log
		", at the ",                        // in figures in machine form
		"90 cm", "woman M, man L, child 8", // what a field takes
	} {
		ours[text] = "declared by hand"
	}
	for _, path := range All(Services{}, nil).Paths() {
		ours[words.Key(path)] = path
	}
	for _, p := range s.packages {
		for _, file := range p.Syntax {
			at := p.Fset.Position(file.Pos())
			if !isTranslated(at) || p.PkgPath != "countwright/commands" {
				continue
			}
			ast.Inspect(file, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.CallExpr:
					return !forOurselves(n)
				case *ast.ValueSpec: // words that are looked for
					return n.Names[0].Name != "stinging"
				case *ast.CompositeLit: // names of troubles
					return !strings.HasSuffix(p.TypesInfo.TypeOf(n).String(), "commands.causeOf")
				case *ast.ImportSpec, *ast.KeyValueExpr:
					if kv, ok := n.(*ast.KeyValueExpr); ok {
						name, _ := kv.Key.(*ast.Ident)
						if name != nil && (name.Name == "Examples" || name.Name == "Example") {
							return false
						}
						if lit, ok := kv.Value.(*ast.BasicLit); ok && lit.Value != `"yes"` && name != nil && slices.Contains(spoken, name.Name) && anyWord.MatchString(lit.Value) && ours[unquoted(lit)] == "" && p.TypesInfo.Types[lit].Type.String() == "string" {
							t.Errorf("%s: %s is not a Key", p.Fset.Position(lit.Pos()), lit.Value)
							return false
						}
					}
				case *ast.BasicLit:
					v := p.TypesInfo.Types[n]
					if n.Kind != token.STRING || v.Value == nil || v.Type.String() != "string" {
						return true
					}
					text := constant.StringVal(v.Value)
					if _, ok := ours[words.Key(text)]; !ok && prose.MatchString(text) && !strings.HasPrefix(text, "/") && !optionValue.MatchString(text) {
						t.Errorf("%s: %q is not a Key", p.Fset.Position(n.Pos()), text)
					}
				}
				return true
			})
		}
	}
}

// forOurselves reports whether a call makes what only a log shows: a wrapped
// fault, a panic.
func forOurselves(c *ast.CallExpr) bool {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name == "panic"
	case *ast.SelectorExpr:
		if slices.Contains([]string{"Like", "OneOf", "Error", "Warn", "Info", "Debug"}, f.Sel.Name) {
			return true // an example value; a log's line
		}
		on, _ := f.X.(*ast.Ident)
		if on == nil {
			return false
		}
		if on.Name == "fmt" && f.Sel.Name == "Errorf" {
			format, ok := c.Args[0].(*ast.BasicLit)
			return ok && strings.Contains(format.Value, "%w")
		}
		return on.Name == "errors" && f.Sel.Name == "New"
	}
	return false
}

// TestNoEnglishLeft looks for English in the golden replies of other languages,
// outside written rows, which stay in English abbreviations.
func TestNoEnglishLeft(t *testing.T) {
	english := regexp.MustCompile(`(?i)(?:^|\PL)(the|and|with|your|you|of|is|are|stitch|stitches|row|rows|round|increase|decrease|gauge|hook|yarn|every|each|this|that|for|to|or|not|from)(?:$|\PL)`)
	paths, err := filepath.Glob("testdata/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	looked := 0
	for _, path := range paths {
		archive, err := txtar.ParseFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if languageNamed(string(archive.Comment)) == "" {
			continue
		}
		looked++
		for line := range strings.Lines(string(archive.Files[1].Data)) {
			if strings.HasPrefix(line, "  ") && !strings.Contains(line, "   ") {
				continue // a written row, or a picture's second line
			}
			line = asGiven.ReplaceAllString(label.ReplaceAllString(line, ""), "")
			for _, found := range english.FindAllStringSubmatch(line, -1) {
				word := found[1]
				if !sharedWords[archiveLanguage(archive)][strings.ToLower(word)] {
					t.Errorf("%s: %q in %q", filepath.Base(path), word, strings.TrimSpace(line))
				}
			}
		}
	}
	if looked < 10 {
		t.Errorf("only %d replies in other languages", looked)
	}
}

func archiveLanguage(a *txtar.Archive) string { return languageNamed(string(a.Comment)) }

// label is what written rows are called, the name of a picture and of a source.
var label = regexp.MustCompile(`\b(Rows?|Rnds?) \d+|\bstitch-\S+|: (hook|row)\s|Craft Yarn Council|Standards & Guidelines|Child and Youth Size Charts|Woman Size Charts|Standard Yarn Weight System|Yarn Standards`)

// asGiven are names of milestones and words of members, which stay as they were
// written.
var asGiven = regexp.MustCompile(`\b(The (back|fronts|sleeves|hem, in moss green)|Band, seams and buttons)\b`)

func unquoted(lit *ast.BasicLit) words.Key {
	text, _ := strconv.Unquote(lit.Value)
	return words.Key(text)
}

// sharedWords are words of the list that another language has, too.
var sharedWords = map[string]map[string]bool{
	"nl": {"of": true, "is": true, "are": true},
	"de": {},
}
