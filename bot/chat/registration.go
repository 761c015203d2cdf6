package chat

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"

	"github.com/bwmarrin/discordgo"

	"countwright/commands"
	"countwright/commands/words"
)

// slash is a slash command as the service registers it: the fields that we
// set, in their canonical form, so that equal commands have equal JSON.
type slash struct {
	Type        int       `json:"type"`
	Name        string    `json:"name"`
	Names       inOthers  `json:"name_localizations,omitempty"`
	Description string    `json:"description"`
	Texts       inOthers  `json:"description_localizations,omitempty"`
	Options     []slashIn `json:"options,omitempty"`
	Permissions *string   `json:"default_member_permissions"`
	Contexts    []int     `json:"contexts,omitempty"`
	Install     []int     `json:"integration_types,omitempty"`
}

// slashIn is an option, or a command of a family.
type slashIn struct {
	Type         int           `json:"type"`
	Name         string        `json:"name"`
	Names        inOthers      `json:"name_localizations,omitempty"`
	Description  string        `json:"description"`
	Texts        inOthers      `json:"description_localizations,omitempty"`
	Required     bool          `json:"required,omitempty"`
	Options      []slashIn     `json:"options,omitempty"`
	Choices      []slashChoice `json:"choices,omitempty"`
	Autocomplete bool          `json:"autocomplete,omitempty"`
	MinValue     *float64      `json:"min_value,omitempty"`
	MaxValue     *float64      `json:"max_value,omitempty"`
	MaxLength    int           `json:"max_length,omitempty"`
}

type slashChoice struct {
	Name  string   `json:"name"`
	Names inOthers `json:"name_localizations,omitempty"`
	Value string   `json:"value"`
}

// inOthers is a text in the languages other than English that have it, by
// locale. The service shows the English where a locale is missing.
type inOthers map[string]string

func inOtherLanguages(english string, say func(words.Printer) string) inOthers {
	texts := inOthers{}
	for _, l := range words.Languages[1:] {
		if said := say(words.For(l.Code)); said != english {
			texts[l.Code] = said
		}
	}
	return texts
}

func textIn(english string) inOthers {
	return inOtherLanguages(english, func(p words.Printer) string { return p.Say(words.Key(english)) })
}

// Where a command can be used, and how the bot is installed.
const (
	inServer, inDirectMessage, amongPeople = 0, 1, 2
	onServer, byMember                     = 0, 1
)

// reach says what commands are registered for.
type reach struct {
	server       bool // one server only
	byPermission bool // hosts are known by a permission alone
	personal     bool // members may install the bot for themselves
}

// slashes are the declarations as slash commands. Where hosts are known by a
// permission alone, the commands for hosts are hidden from others; where roles
// are configured they can't be, for the service knows no such rule, and the
// set refuses others kindly. A family that has commands for hosts is about a
// server; the others a member may have with her wherever she is.
func slashes(set *commands.Set, to reach) []slash {
	var all []slash
	for _, c := range set.Commands {
		s := slash{Type: int(discordgo.ChatApplicationCommand), Name: c.Name, Names: inOtherLanguages(c.Name, c.NameIn),
			Description: c.Short, Texts: textIn(c.Short), Options: optionsOf(c)}
		hosts, hosted := c.For == commands.Hosts, c.For == commands.Hosts
		if len(c.Sub) > 0 {
			hosts = true
			for _, sub := range c.Sub {
				s.Options = append(s.Options, slashIn{Type: int(discordgo.ApplicationCommandOptionSubCommand), Name: sub.Name, Names: inOtherLanguages(sub.Name, sub.NameIn),
					Description: sub.Short, Texts: textIn(sub.Short), Options: optionsOf(sub)})
				hosts, hosted = hosts && sub.For == commands.Hosts, hosted || sub.For == commands.Hosts
			}
		}
		if hosts && to.byPermission {
			bits := strconv.FormatInt(permissionManageEvents, 10)
			s.Permissions = &bits
		}
		switch {
		case to.server: // neither can be said
		case hosts:
			s.Contexts, s.Install = []int{inServer}, []int{onServer}
		case hosted || !to.personal:
			s.Contexts, s.Install = []int{inServer, inDirectMessage}, []int{onServer}
		default:
			s.Contexts, s.Install = []int{inServer, inDirectMessage, amongPeople}, []int{onServer, byMember}
		}
		all = append(all, s)
	}
	return all
}

func optionsOf(c *commands.Command) []slashIn {
	var all []slashIn
	for _, o := range c.Options {
		spec := o.Spec()
		names := inOtherLanguages(spec.Name, func(p words.Printer) string { return c.OptionIn(p, spec.Name) })
		in := slashIn{Name: spec.Name, Names: names, Description: spec.Short, Texts: textIn(spec.Short), Required: spec.Required, Autocomplete: spec.Suggest != nil}
		switch spec.Kind {
		case commands.Whole:
			in.Type = int(discordgo.ApplicationCommandOptionInteger)
			if spec.Min != 0 || spec.Max != 0 {
				in.MinValue, in.MaxValue = &spec.Min, &spec.Max
			}
		case commands.Flag:
			in.Type = int(discordgo.ApplicationCommandOptionBoolean)
		case commands.File:
			in.Type = int(discordgo.ApplicationCommandOptionAttachment)
		default:
			in.Type = int(discordgo.ApplicationCommandOptionString)
			if in.MaxLength = min(spec.Length, 6000); in.MaxLength == 0 {
				in.MaxLength = 200
			}
		}
		if !in.Autocomplete {
			for _, c := range spec.Choices {
				in.Choices = append(in.Choices, slashChoice{Name: c.Label, Names: textIn(c.Label), Value: c.Value})
			}
		}
		if len(in.Choices) > 0 {
			in.MaxLength = 0
		}
		all = append(all, in)
	}
	return all
}

// register makes the service's list of our commands equal to the declarations.
// It asks for the list and sends only what differs: creating commands is
// rationed by the day.
func (s *Service) register(ctx context.Context, application string, personal bool) error {
	endpoint := discordgo.EndpointApplicationGlobalCommands(application)
	if s.options.Server != "" {
		endpoint = discordgo.EndpointApplicationGuildCommands(application, s.options.Server)
	}
	body, err := s.rest(ctx, http.MethodGet, endpoint+"?with_localizations=true", nil)
	if err != nil {
		return fmt.Errorf("list registered commands: %w", err)
	}
	var present []struct {
		ID string `json:"id"`
		slash
	}
	if err := json.Unmarshal(body, &present); err != nil {
		return fmt.Errorf("read registered commands: %w", err)
	}
	wanted := map[string]slash{}
	for _, c := range slashes(s.options.Set, reach{s.options.Server != "", len(s.options.HostRoles) == 0, personal}) {
		wanted[c.Name] = c
	}
	same := map[string]bool{}
	for _, p := range present {
		if p.Type != int(discordgo.ChatApplicationCommand) {
			continue // not ours to judge
		}
		w, known := wanted[p.Name]
		if !known {
			if _, err := s.rest(ctx, http.MethodDelete, endpoint+"/"+p.ID, nil); err != nil {
				return fmt.Errorf("remove command /%s: %w", p.Name, err)
			}
			s.log.Info("command removed", "command", p.Name)
			continue
		}
		same[p.Name] = equal(p.slash, w)
	}
	for _, c := range s.options.Set.Commands {
		if same[c.Name] {
			continue
		}
		if _, err := s.rest(ctx, http.MethodPost, endpoint, wanted[c.Name]); err != nil {
			return fmt.Errorf("register command /%s: %w", c.Name, err)
		}
		s.log.Info("command registered", "command", c.Name)
	}
	return nil
}

// equal compares what is registered with what is wanted. On a server the
// service reports contexts and installation that can't be set there.
func equal(present, wanted slash) bool {
	if wanted.Contexts == nil {
		present.Contexts, present.Install = nil, nil
	}
	a, errA := json.Marshal(present)
	b, errB := json.Marshal(wanted)
	return errA == nil && errB == nil && bytes.Equal(a, b)
}
