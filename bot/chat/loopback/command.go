package loopback

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"unicode/utf8"
)

// Command is a slash command as registered.
type Command struct {
	ID          string          `json:"id,omitempty"`
	Type        int             `json:"type"`
	Name        string          `json:"name"`
	Names       InOthers        `json:"name_localizations,omitempty"`
	Description string          `json:"description"`
	Texts       InOthers        `json:"description_localizations,omitempty"`
	Options     []CommandOption `json:"options,omitempty"`
	Permissions *string         `json:"default_member_permissions"`
	Contexts    []int           `json:"contexts,omitempty"`
	Install     []int           `json:"integration_types,omitempty"`
}

// CommandOption is an option, or a command of a family.
type CommandOption struct {
	Type         int             `json:"type"`
	Name         string          `json:"name"`
	Names        InOthers        `json:"name_localizations,omitempty"`
	Description  string          `json:"description"`
	Texts        InOthers        `json:"description_localizations,omitempty"`
	Required     bool            `json:"required,omitempty"`
	Options      []CommandOption `json:"options,omitempty"`
	Choices      []Choice        `json:"choices,omitempty"`
	Autocomplete bool            `json:"autocomplete,omitempty"`
	MinValue     *float64        `json:"min_value,omitempty"`
	MaxValue     *float64        `json:"max_value,omitempty"`
	MinLength    *int            `json:"min_length,omitempty"`
	MaxLength    *int            `json:"max_length,omitempty"`
}

// Choice is one of an option's choices, or a suggestion.
type Choice struct {
	Name  string   `json:"name"`
	Names InOthers `json:"name_localizations,omitempty"`
	Value any      `json:"value"`
}

// InOthers is a text in other languages, by locale.
type InOthers map[string]string

// Types of option.
const (
	typeCommand    = 1
	typeGroup      = 2
	typeString     = 3
	typeInteger    = 4
	typeBoolean    = 5
	typeNumber     = 10
	typeAttachment = 11
)

// shown is how the service lists a command: with fields that nobody set, and
// contexts that can't be set on a server; in other languages only where that is
// asked for.
func (c Command) shown(server string, inOthers bool) map[string]any {
	m := map[string]any{}
	json.Unmarshal(marshal(c), &m)
	m["application_id"], m["version"], m["nsfw"], m["default_permission"] = Application, c.ID+"1", false, true
	showOthers(m, inOthers)
	if server != "" {
		m["guild_id"], m["contexts"], m["integration_types"] = server, nil, []int{0}
	}
	return m
}

// showOthers leaves texts in other languages out, or shows that there are none.
func showOthers(m map[string]any, inOthers bool) {
	for _, field := range []string{"name_localizations", "description_localizations"} {
		if !inOthers {
			delete(m, field)
		} else if _, set := m[field]; !set {
			m[field] = nil
		}
	}
	for _, field := range []string{"options", "choices"} {
		list, _ := m[field].([]any)
		for _, part := range list {
			showOthers(part.(map[string]any), inOthers)
		}
	}
}

var commandName = regexp.MustCompile(`^[-_'\p{L}\p{N}]{1,32}$`)

// Broken are the service's rules that a command breaks.
func (c Command) Broken(onServer bool) (broken []string) {
	if c.Type != 1 {
		broken = append(broken, fmt.Sprintf("type %d is not a slash command", c.Type))
	}
	if onServer && (c.Contexts != nil || c.Install != nil) {
		broken = append(broken, "contexts and integration types are for global commands only")
	}
	for _, x := range c.Contexts {
		if x < 0 || x > 2 {
			broken = append(broken, fmt.Sprintf("context %d", x))
		}
	}
	if c.Permissions != nil && !regexp.MustCompile(`^\d+$`).MatchString(*c.Permissions) {
		broken = append(broken, "default_member_permissions is not a number as text")
	}
	broken = append(broken, nameRules(c.Name, c.Names, c.Description, c.Texts)...)
	broken = append(broken, optionsRules(c.Options, 0)...)
	if n := c.Size(); n > 8000 {
		broken = append(broken, fmt.Sprintf("%d characters of names, descriptions and values; 8000 are allowed", n))
	}
	return broken
}

// locales are those that the service knows, as far as they are used here.
// Source: the service's documentation, reference, locales.
var locales = []string{"id", "da", "de", "en-GB", "en-US", "es-ES", "es-419", "fr", "hr", "it", "lt", "hu", "nl", "no", "pl", "pt-BR", "ro", "fi",
	"sv-SE", "vi", "tr", "cs", "el", "bg", "ru", "uk", "hi", "th", "zh-CN", "ja", "zh-TW", "ko"}

var capital = regexp.MustCompile(`\p{Lu}`)

func nameRules(name string, names InOthers, description string, texts InOthers) (broken []string) {
	for locale, n := range names.and(name) {
		if !commandName.MatchString(n) || capital.MatchString(n) {
			broken = append(broken, fmt.Sprintf("the name %q in %q", n, locale))
		}
	}
	for locale, text := range texts.and(description) {
		if n := utf8.RuneCountInString(text); n < 1 || n > 100 {
			broken = append(broken, fmt.Sprintf("%s: a description of %d characters in %q", name, n, locale))
		}
	}
	for _, others := range []InOthers{names, texts} {
		for locale := range others {
			if !slices.Contains(locales, locale) {
				broken = append(broken, fmt.Sprintf("%s: the locale %q", name, locale))
			}
		}
	}
	return broken
}

// and is all the texts, the default one under "".
func (o InOthers) and(text string) InOthers {
	all := InOthers{"": text}
	for locale, t := range o {
		all[locale] = t
	}
	return all
}

// in is the text in a locale.
func (o InOthers) in(locale, text string) string {
	if said, there := o[locale]; there {
		return said
	}
	return text
}

func optionsRules(options []CommandOption, depth int) (broken []string) {
	if len(options) > 25 {
		broken = append(broken, fmt.Sprintf("%d options", len(options)))
	}
	seen, optional, kinds := map[[2]string]bool{}, false, map[bool]bool{}
	for _, o := range options {
		broken = append(broken, nameRules(o.Name, o.Names, o.Description, o.Texts)...)
		for _, locale := range append([]string{""}, locales...) {
			name := o.Names.in(locale, o.Name)
			if seen[[2]string{locale, name}] {
				broken = append(broken, "two options named "+name+" in "+locale)
			}
			seen[[2]string{locale, name}] = true
		}
		sub := o.Type == typeCommand || o.Type == typeGroup
		kinds[sub] = true
		if o.Required && optional {
			broken = append(broken, o.Name+": required after optional")
		}
		optional = optional || !o.Required
		if sub && (depth > 1 || o.Type == typeGroup && depth > 0) || !sub && len(o.Options) > 0 {
			broken = append(broken, o.Name+": nested too deep")
		}
		broken = append(broken, optionsRules(o.Options, depth+1)...)
		broken = append(broken, optionRules(o)...)
	}
	if len(kinds) > 1 {
		broken = append(broken, "options beside commands of a family")
	}
	return broken
}

func optionRules(o CommandOption) (broken []string) {
	say := func(format string, args ...any) { broken = append(broken, o.Name+": "+fmt.Sprintf(format, args...)) }
	text, number := o.Type == typeString, o.Type == typeInteger || o.Type == typeNumber
	if len(o.Choices) > 25 {
		say("%d choices", len(o.Choices))
	}
	if o.Autocomplete && (len(o.Choices) > 0 || !text && !number) {
		say("autocomplete beside choices or on a type without it")
	}
	for _, c := range o.Choices {
		if b := choiceRules(c, o.Type); b != "" {
			say("%s", b)
		}
	}
	if (o.MinValue != nil || o.MaxValue != nil) && !number || (o.MinLength != nil || o.MaxLength != nil) && !text {
		say("bounds that its type does not have")
	}
	if o.MinValue != nil && o.MaxValue != nil && *o.MinValue > *o.MaxValue {
		say("least above most")
	}
	for _, v := range []*float64{o.MinValue, o.MaxValue} {
		if v != nil && (*v > 1<<53-1 || *v < -(1<<53-1)) {
			say("a bound of %g", *v)
		}
	}
	if o.MaxLength != nil && (*o.MaxLength < 1 || *o.MaxLength > 6000) {
		say("a length of %d", *o.MaxLength)
	}
	return broken
}

// choiceRules says what is wrong with a choice of an option of a type.
func choiceRules(c Choice, kind int) string {
	for locale, name := range c.Names.and(c.Name) {
		if n := utf8.RuneCountInString(name); n < 1 || n > 100 {
			return fmt.Sprintf("a choice's name of %d characters in %q", n, locale)
		}
	}
	switch v := c.Value.(type) {
	case string:
		if n := utf8.RuneCountInString(v); kind != typeString || n < 1 || n > 100 {
			return fmt.Sprintf("the choice %q", v)
		}
	case float64:
		if kind != typeInteger && kind != typeNumber {
			return fmt.Sprintf("the choice %g", v)
		}
	default:
		return fmt.Sprintf("the choice %v", v)
	}
	return ""
}

// Size is how many characters of names, descriptions and values a
// command has. Of each field the longest localisation counts, each for itself.
// Source: the service's documentation, application commands, limits.
func (c Command) Size() int {
	return longest(c.Names, c.Name) + longest(c.Texts, c.Description) + optionsSize(c.Options)
}

func longest(others InOthers, text string) int {
	most := 0
	for _, t := range others.and(text) {
		most = max(most, utf8.RuneCountInString(t))
	}
	return most
}

func optionsSize(options []CommandOption) int {
	n := 0
	for _, o := range options {
		n += longest(o.Names, o.Name) + longest(o.Texts, o.Description) + optionsSize(o.Options)
		for _, c := range o.Choices {
			n += longest(c.Names, c.Name) + utf8.RuneCountInString(fmt.Sprint(c.Value))
		}
	}
	return n
}
