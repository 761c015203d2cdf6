package chat

import (
	"encoding/json"
	"errors"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/bwmarrin/discordgo"

	"countwright/commands"
	"countwright/commands/words"
)

// ask is an interaction as it came: who wants what, and how to answer.
type ask struct {
	*discordgo.Interaction
	came      time.Time
	carrier   *carrier // the request that brought it, which takes its first answer; nil: it came over the gateway
	replayed  bool     // it may have waited while we were not connected
	fileLimit int64    // bytes that an answer's file may have; 0: not said
}

// reference is what the log and a member call this asking.
func (a ask) reference() string { return commands.Call{ID: a.ID}.Reference() }

// errUndecoded is an interaction whose data the library could not read.
var errUndecoded = errors.New("an interaction whose data can't be read")

// askOf takes an interaction as the library decoded it, and as it came: the
// library's type lacks the file limit.
func askOf(decoded any, raw []byte, came time.Time) (ask, error) {
	created, ok := decoded.(*discordgo.InteractionCreate)
	if !ok || created.Interaction == nil {
		return ask{}, errUndecoded
	}
	a := ask{Interaction: created.Interaction, came: came}
	if a.Data == nil || (a.Member == nil || a.Member.User == nil) && a.User == nil {
		return a, errUndecoded
	}
	var more struct {
		FileLimit int64 `json:"attachment_size_limit"`
	}
	if err := json.Unmarshal(raw, &more); err == nil {
		a.fileLimit = more.FileLimit
	}
	return a, nil
}

// serverLocale is the server's own language; empty in a direct message.
func (a ask) serverLocale() string {
	if a.GuildLocale == nil {
		return ""
	}
	return string(*a.GuildLocale)
}

// words says what is said before a member's settings are known.
func (a ask) words() words.Printer { return words.For(string(a.Locale), a.serverLocale()) }

// call begins a call with who asks, where and when.
func (s *Service) call(a ask) commands.Call {
	c := commands.Call{
		ID: a.ID, Server: a.GuildID, Channel: a.ChannelID, Locale: string(a.Locale), Now: s.options.Now(),
		Inputs: map[string]commands.Input{},
	}
	c.ServerLocale = a.serverLocale()
	user := a.User
	if a.Member != nil && a.Member.User != nil {
		user = a.Member.User
		c.Host = s.isHost(a.Member)
	}
	c.Member = commands.Member{ID: user.ID, Name: user.Username}
	switch {
	case a.Member != nil && a.Member.Nick != "":
		c.Member.Name = a.Member.Nick
	case user.GlobalName != "":
		c.Member.Name = user.GlobalName
	}
	return c
}

// Permissions of the service that make a host, besides the configured roles:
// who may manage or create events, and administrators.
const hostPermissions = permissionManageEvents | 1<<44 | 1<<3

const permissionManageEvents = 1 << 33

func (s *Service) isHost(m *discordgo.Member) bool {
	if m.Permissions&hostPermissions != 0 {
		return true
	}
	return slices.ContainsFunc(m.Roles, func(id string) bool { return slices.Contains(s.options.HostRoles, id) })
}

// fill adds a slash command's path and options to a call. While the member is
// still typing, focused is the option in hand and typed what is there.
func (s *Service) fill(c *commands.Call, d discordgo.ApplicationCommandInteractionData) (focused, typed string) {
	path := []string{d.Name}
	options := there(d.Options)
	for len(options) == 1 && (options[0].Type == discordgo.ApplicationCommandOptionSubCommand || options[0].Type == discordgo.ApplicationCommandOptionSubCommandGroup) {
		path = append(path, options[0].Name)
		options = there(options[0].Options)
	}
	c.Path = strings.Join(path, " ")
	for _, o := range options {
		in := commands.Input{Text: optionText(o.Value)}
		if o.Type == discordgo.ApplicationCommandOptionAttachment && d.Resolved != nil {
			if file := d.Resolved.Attachments[in.Text]; file != nil {
				in = commands.Input{Text: file.Filename, File: s.attachment(file)}
			}
		}
		if o.Focused {
			focused, typed = o.Name, in.Text
		}
		c.Inputs[o.Name] = in
	}
	return focused, typed
}

// there are the options that are more than a null.
func there(options []*discordgo.ApplicationCommandInteractionDataOption) []*discordgo.ApplicationCommandInteractionDataOption {
	return slices.DeleteFunc(options, func(o *discordgo.ApplicationCommandInteractionDataOption) bool { return o == nil })
}

func optionText(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	case bool:
		if v {
			return "yes"
		}
		return "no"
	}
	return ""
}

// fields are the filled-in fields of a form, as inputs.
func fields(d discordgo.ModalSubmitInteractionData) map[string]commands.Input {
	inputs := map[string]commands.Input{}
	for _, row := range d.Components {
		r, ok := row.(*discordgo.ActionsRow)
		if !ok {
			continue
		}
		for _, c := range r.Components {
			in, ok := c.(*discordgo.TextInput)
			if ok && strings.TrimSpace(in.Value) != "" {
				inputs[in.CustomID] = commands.Input{Text: strings.ReplaceAll(in.Value, "\r\n", "\n")}
			}
		}
	}
	return inputs
}

// focusedWhole reports whether the option that is being typed takes whole
// numbers, so that its suggestions must be numbers too.
func focusedWhole(d discordgo.ApplicationCommandInteractionData) bool {
	options := there(d.Options)
	for len(options) > 0 && len(options[0].Options) > 0 {
		options = there(options[0].Options)
	}
	for _, o := range options {
		if o.Focused {
			return o.Type == discordgo.ApplicationCommandOptionInteger
		}
	}
	return false
}
