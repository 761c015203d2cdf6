package chat

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"github.com/bwmarrin/discordgo"
)

// Examination is what the service says of the bot, for whoever sets it up.
type Examination struct {
	Name       string        // of the application
	OverHTTP   bool          // the developer portal names an address for interactions
	Privileged bool          // an intent is switched on there that nobody needs
	Ahead      time.Duration // how far this machine's clock is before the service's, to a second or so
	Shards     int           // as the service advises
	StartsLeft int           // sessions that may begin today; -1: not said
	Servers    []Standing

	user string // the bot's own id
}

// Standing is what the bot may do in a server, or in a channel of one.
type Standing struct {
	ID, Name string
	Missing  []string // permissions that it needs and does not have

	permissions int64
}

// needed are the permissions that the bot is invited with, by their numbers
// and names in the service's documentation, topics/permissions.
var needed = []struct {
	bit  int64
	name string
}{
	{1 << 10, "View Channels"}, {1 << 11, "Send Messages"}, {1 << 38, "Send Messages in Threads"},
	{1 << 14, "Embed Links"}, {1 << 15, "Attach Files"}, {1 << 16, "Read Message History"},
}

const permissionAdministrator = 1 << 3

// missing names the permissions that are needed and not there.
func missing(permissions int64) (names []string) {
	if permissions&permissionAdministrator != 0 {
		return nil
	}
	for _, n := range needed {
		if permissions&n.bit == 0 {
			names = append(names, n.name)
		}
	}
	return names
}

// ask asks the service for something of ours.
func (s *Service) ask(ctx context.Context, verb, address string, into any) error {
	body, err := s.rest(ctx, http.MethodGet, address, nil)
	if err != nil {
		return explain(verb, err)
	}
	if err := json.Unmarshal(body, into); err != nil {
		return fmt.Errorf("%s: the answer can't be read", verb)
	}
	return nil
}

// flags of an application that stand for privileged intents: presence, members
// and message content, each in two kinds.
const privilegedFlags = 1<<12 | 1<<13 | 1<<14 | 1<<15 | 1<<18 | 1<<19

// Examine asks what the service says of the bot. It changes nothing.
func (s *Service) Examine(ctx context.Context) (Examination, error) {
	var e Examination
	var app struct {
		Name     string  `json:"name"`
		Endpoint *string `json:"interactions_endpoint_url"`
		Flags    int64   `json:"flags"`
	}
	if err := s.ask(ctx, "ask who this bot is", discordgo.EndpointAPI+"applications/@me", &app); err != nil {
		return e, err
	}
	e.Name, e.OverHTTP = app.Name, app.Endpoint != nil && *app.Endpoint != ""
	e.Privileged = app.Flags&privilegedFlags != 0
	e.Ahead, _ = s.meter.ahead()
	var me struct {
		ID string `json:"id"`
	}
	if err := s.ask(ctx, "ask for the bot's own account", discordgo.EndpointUser("@me"), &me); err != nil {
		return e, err
	}
	e.user = me.ID
	var gateway struct {
		Shards int `json:"shards"`
		Limit  struct {
			Remaining *int `json:"remaining"`
		} `json:"session_start_limit"`
	}
	if err := s.ask(ctx, "ask for the gateway", discordgo.EndpointGatewayBot, &gateway); err != nil {
		return e, err
	}
	e.Shards, e.StartsLeft = gateway.Shards, -1
	if gateway.Limit.Remaining != nil {
		e.StartsLeft = *gateway.Limit.Remaining
	}
	var err error
	e.Servers, err = s.standings(ctx)
	return e, err
}

// serversAtOnce is how many the service lists in one answer.
const serversAtOnce = 200

func (s *Service) standings(ctx context.Context) (all []Standing, err error) {
	for after := "0"; ; {
		var page []struct {
			ID          string `json:"id"`
			Name        string `json:"name"`
			Permissions string `json:"permissions"`
		}
		query := url.Values{"limit": {strconv.Itoa(serversAtOnce)}, "after": {after}}
		if err := s.ask(ctx, "list the bot's servers", discordgo.EndpointUserGuilds("@me")+"?"+query.Encode(), &page); err != nil {
			return nil, err
		}
		for _, p := range page {
			bits, err := strconv.ParseInt(p.Permissions, 10, 64)
			if err != nil {
				return nil, fmt.Errorf("list the bot's servers: permissions %q can't be read", p.Permissions)
			}
			all = append(all, Standing{ID: p.ID, Name: p.Name, Missing: missing(bits), permissions: bits})
			after = p.ID
		}
		if len(page) < serversAtOnce {
			return all, nil
		}
	}
}

// overwrite changes what a role or a member may do in a channel.
type overwrite struct {
	ID    string `json:"id"`
	Type  int    `json:"type"` // 0 of a role, 1 of a member
	Allow string `json:"allow"`
	Deny  string `json:"deny"`
}

// Channel asks what the bot may do in a channel of a server that was examined.
func (s *Service) Channel(ctx context.Context, e Examination, server Standing, channel string) (Standing, error) {
	var c struct {
		Name       string      `json:"name"`
		Overwrites []overwrite `json:"permission_overwrites"`
	}
	if err := s.ask(ctx, "ask for channel "+channel, discordgo.EndpointChannel(channel), &c); err != nil {
		return Standing{}, err
	}
	var m struct {
		Roles []string `json:"roles"`
	}
	if err := s.ask(ctx, "ask for the bot's roles in server "+server.ID, discordgo.EndpointGuildMember(server.ID, e.user), &m); err != nil {
		return Standing{}, err
	}
	bits := overwritten(server.permissions, c.Overwrites, server.ID, m.Roles, e.user)
	return Standing{ID: channel, Name: c.Name, Missing: missing(bits), permissions: bits}, nil
}

// overwritten is what is left of permissions in a channel. Source: the
// service's documentation, topics/permissions, "Permission Overwrites": those
// of everybody first, then those of all roles together, then the member's own.
func overwritten(permissions int64, overwrites []overwrite, everyone string, roles []string, member string) int64 {
	if permissions&permissionAdministrator != 0 {
		return permissions
	}
	sum := func(applies func(overwrite) bool) (allow, deny int64) {
		for _, o := range overwrites {
			if !applies(o) {
				continue
			}
			a, _ := strconv.ParseInt(o.Allow, 10, 64)
			d, _ := strconv.ParseInt(o.Deny, 10, 64)
			allow, deny = allow|a, deny|d
		}
		return allow, deny
	}
	mine := map[string]bool{}
	for _, r := range roles {
		mine[r] = true
	}
	for _, applies := range []func(overwrite) bool{
		func(o overwrite) bool { return o.Type == 0 && o.ID == everyone },
		func(o overwrite) bool { return o.Type == 0 && o.ID != everyone && mine[o.ID] },
		func(o overwrite) bool { return o.Type == 1 && o.ID == member },
	} {
		allow, deny := sum(applies)
		permissions = permissions&^deny | allow
	}
	return permissions
}
