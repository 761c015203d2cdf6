package loopback

import (
	"encoding/json"
	"iter"
	"net/http"
	"slices"
	"strconv"
)

// Joined is a server that the bot is in, as it is told when it asks.
type Joined struct {
	ID, Name    string
	Permissions int64
	Roles       []string            // the bot's own there
	Overwrites  map[string][]Change // by channel
}

// Change is what a channel changes of what a role (or with Member, a member)
// may do.
type Change struct {
	ID          string
	Member      bool
	Allow, Deny int64
}

func (s *Service) serverRoutes(m *http.ServeMux) {
	m.HandleFunc("GET "+api+"/users/@me", s.authorised(func(w http.ResponseWriter, _ *http.Request) {
		answerJSON(w, 200, map[string]any{"id": Application, "username": "countwright", "bot": true})
	}))
	m.HandleFunc("GET "+api+"/users/@me/guilds", s.authorised(s.listServers))
	m.HandleFunc("GET "+api+"/guilds/{server}/members/{member}", s.authorised(func(w http.ResponseWriter, r *http.Request) {
		i := slices.IndexFunc(s.Joined, func(j Joined) bool { return j.ID == r.PathValue("server") })
		if i < 0 || r.PathValue("member") != Application {
			refuse(w, 404, 10007, "Unknown Member")
			return
		}
		answerJSON(w, 200, map[string]any{"roles": append([]string{}, s.Joined[i].Roles...), "user": map[string]any{"id": Application}})
	}))
	m.HandleFunc("GET "+api+"/channels/{channel}", s.authorised(func(w http.ResponseWriter, r *http.Request) {
		for _, j := range s.Joined {
			if changes, ok := j.Overwrites[r.PathValue("channel")]; ok {
				list := []any{}
				for _, c := range changes {
					kind := 0
					if c.Member {
						kind = 1
					}
					list = append(list, map[string]any{"id": c.ID, "type": kind, "allow": strconv.FormatInt(c.Allow, 10), "deny": strconv.FormatInt(c.Deny, 10)})
				}
				answerJSON(w, 200, map[string]any{"id": r.PathValue("channel"), "type": 0, "name": "make-alongs", "guild_id": j.ID, "permission_overwrites": list})
				return
			}
		}
		refuse(w, 404, 10003, "Unknown Channel")
	}))
}

// listServers lists a page of the servers in the order of their ids.
func (s *Service) listServers(w http.ResponseWriter, r *http.Request) {
	limit, err := strconv.Atoi(r.URL.Query().Get("limit"))
	after, err2 := strconv.ParseInt(r.URL.Query().Get("after"), 10, 64)
	if err != nil || err2 != nil || limit < 1 || limit > 200 {
		s.breaks("list servers", "a limit or a start that is none: "+r.URL.RawQuery)
	}
	list := []any{}
	for _, j := range s.Joined {
		if id, _ := strconv.ParseInt(j.ID, 10, 64); id > after && len(list) < limit {
			list = append(list, map[string]any{"id": j.ID, "name": j.Name, "permissions": strconv.FormatInt(j.Permissions, 10), "owner": false})
		}
	}
	answerJSON(w, 200, list)
}

// guilds are a shard's servers as they are told first: by their ids only.
func (s *Service) guilds(shard [2]int) []any {
	list := []any{}
	for id := range s.belonging(shard) {
		list = append(list, map[string]any{"id": id, "unavailable": true})
	}
	return list
}

// belonging goes through the ids of a shard's servers.
func (s *Service) belonging(shard [2]int) iter.Seq[string] {
	return func(yield func(string) bool) {
		for n := range s.Servers {
			id := strconv.FormatInt(700000000000000000+int64(n)<<22, 10)
			if ShardOf(id, shard[1]) == shard[0] && !yield(id) {
				return
			}
		}
	}
}

// introduce tells of each server of a shard what the intent of servers lets
// through: channels and roles, how many members there are, and the bot itself.
// These events are not kept for a resume.
func (s *Service) introduce(l *line, shard [2]int) {
	for id := range s.belonging(shard) {
		var channels, roles []any
		for n := range 25 {
			channels = append(channels, map[string]any{"id": id[:15] + strconv.Itoa(100+n), "type": 0, "name": "crochet-" + strconv.Itoa(n), "position": n,
				"permission_overwrites": []any{map[string]any{"id": id, "type": 0, "allow": "0", "deny": "1024"}}, "topic": "Squares, shawls and everything between", "nsfw": false})
		}
		for n := range 15 {
			roles = append(roles, map[string]any{"id": id[:15] + strconv.Itoa(500+n), "name": "role-" + strconv.Itoa(n), "permissions": "562949953601536", "position": n, "color": 0, "hoist": false, "managed": false, "mentionable": false})
		}
		body := marshal(map[string]any{"id": id, "name": "Server " + id, "owner_id": id, "member_count": s.Members, "large": s.Members > 250, "unavailable": false,
			"channels": channels, "roles": roles, "emojis": []any{}, "features": []any{}, "threads": []any{},
			"members": []any{map[string]any{"user": map[string]any{"id": Application, "username": "countwright", "bot": true}, "roles": []any{}}}})
		s.gateway.mu.Lock()
		p := packet{Op: opDispatch, Type: "GUILD_CREATE", Data: body, Seq: len(l.session.events) + 1}
		l.session.events = append(l.session.events, packet{Op: opDispatch, Type: "GUILD_CREATE", Data: json.RawMessage("{}"), Seq: p.Seq})
		s.gateway.mu.Unlock()
		l.send(p)
	}
}
