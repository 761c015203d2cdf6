package loopback

import (
	"bytes"
	"encoding/json"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"
)

const api = "/api/v9"

func (s *Service) routes() http.Handler {
	m := http.NewServeMux()
	m.HandleFunc("GET /ws/", s.connect)
	m.HandleFunc("GET "+api+"/gateway", func(w http.ResponseWriter, _ *http.Request) {
		answerJSON(w, 200, map[string]any{"url": s.gatewayURL()})
	})
	m.HandleFunc("GET "+api+"/gateway/bot", s.authorised(func(w http.ResponseWriter, _ *http.Request) {
		starts := s.Starts
		if starts == 0 {
			starts = 1000
		}
		answerJSON(w, 200, map[string]any{"url": s.gatewayURL(), "shards": max(1, s.Shards),
			"session_start_limit": map[string]any{"total": 1000, "remaining": starts, "reset_after": 7200000, "max_concurrency": max(1, s.Concurrency)}})
	}))
	m.HandleFunc("GET "+api+"/applications/@me", s.authorised(func(w http.ResponseWriter, _ *http.Request) {
		answerJSON(w, 200, map[string]any{"id": Application, "name": "Countwright", "flags": s.Flags, "interactions_endpoint_url": s.EndpointURL,
			"integration_types_config": s.installs()})
	}))
	for _, scope := range []string{"", "/guilds/{server}"} {
		path := api + "/applications/{app}" + scope + "/commands"
		m.HandleFunc("GET "+path, s.authorised(s.listCommands))
		m.HandleFunc("POST "+path, s.authorised(s.createCommand))
		m.HandleFunc("DELETE "+path+"/{id}", s.authorised(s.deleteCommand))
	}
	m.HandleFunc("POST "+api+"/interactions/{id}/{token}/callback", s.callback)
	m.HandleFunc("POST "+api+"/webhooks/{app}/{token}", s.followup)
	m.HandleFunc("PATCH "+api+"/webhooks/{app}/{token}/messages/@original", s.edit)
	m.HandleFunc("DELETE "+api+"/webhooks/{app}/{token}/messages/@original", s.remove)
	m.HandleFunc("GET /attachments/{id}/{name}", s.attachment)
	s.channelRoutes(m)
	s.serverRoutes(m)
	m.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		s.breaks(r.Method+" "+r.URL.Path, "there is no such route")
		refuse(w, 404, 0, "404: Not Found")
	})
	rest := s.rest(m)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !strings.HasPrefix(r.URL.Path, "/ws/") && !strings.Contains(r.URL.Path, "/interactions/") && !strings.Contains(r.URL.Path, "/webhooks/") {
			s.mu.Lock()
			s.requests = append(s.requests, r.Method+" "+strings.TrimPrefix(r.URL.Path, api))
			s.mu.Unlock()
		}
		if s.Reply != nil && s.Reply(w, r) {
			return
		}
		rest.ServeHTTP(w, r)
	})
}

func (s *Service) gatewayURL() string {
	if s.GatewayAt != "" {
		return s.GatewayAt
	}
	return "ws" + strings.TrimPrefix(s.server().URL, "http") + "/ws"
}

func (s *Service) authorised(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if r.Header.Get("Authorization") != "Bot "+Token {
			refuse(w, 401, 0, "401: Unauthorized")
			return
		}
		next(w, r)
	}
}

func (s *Service) listCommands(w http.ResponseWriter, r *http.Request) {
	list := []map[string]any{}
	for _, c := range s.Registered(r.PathValue("server")) {
		list = append(list, c.shown(r.PathValue("server"), r.URL.Query().Get("with_localizations") == "true"))
	}
	answerJSON(w, 200, list)
}

func (s *Service) createCommand(w http.ResponseWriter, r *http.Request) {
	var c Command
	body, err := io.ReadAll(r.Body)
	s.observe("command", body)
	if err == nil {
		err = strict(bytes.NewReader(body), &c)
	}
	if err != nil {
		s.breaks("register command", err.Error())
		refuse(w, 400, 50035, "Invalid Form Body")
		return
	}
	server := r.PathValue("server")
	if broken := c.Broken(server != ""); len(broken) > 0 {
		s.breaks("register /"+c.Name, broken...)
		refuse(w, 400, 50035, "Invalid Form Body: %s", strings.Join(broken, "; "))
		return
	}
	s.mu.Lock()
	list := s.commands[server]
	i := slices.IndexFunc(list, func(have Command) bool { return have.Name == c.Name && have.Type == c.Type })
	status := http.StatusOK
	if i < 0 {
		c.ID = s.id()
		list = append(list, c)
		status = http.StatusCreated
	} else {
		c.ID = list[i].ID
		list[i] = c
	}
	s.commands[server] = list
	tooMany := len(list) > 100
	s.mu.Unlock()
	if tooMany {
		s.breaks("register /"+c.Name, "more than 100 commands")
	}
	answerJSON(w, status, c.shown(server, true))
}

func (s *Service) deleteCommand(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	defer s.mu.Unlock()
	server := r.PathValue("server")
	s.commands[server] = slices.DeleteFunc(s.commands[server], func(c Command) bool { return c.ID == r.PathValue("id") })
	w.WriteHeader(http.StatusNoContent)
}

// Register puts a command there as if it had been registered before.
func (s *Service) Register(server string, c Command) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c.ID = s.id()
	s.commands[server] = append(s.commands[server], c)
}

func (s *Service) attachment(w http.ResponseWriter, r *http.Request) {
	if r.Header.Get("X-Was-Scheme") != "https" || r.Host != "cdn.discordapp.com" {
		s.breaks("attachment", "fetched from "+r.Header.Get("X-Was-Scheme")+"://"+r.Host)
	}
	if r.Header.Get("Authorization") != "" {
		s.breaks("attachment", "fetched with the bot's token")
	}
	s.mu.Lock()
	body, ok := s.files[r.URL.Path]
	s.mu.Unlock()
	if !ok {
		w.WriteHeader(http.StatusNotFound)
		return
	}
	w.Write(body)
}

// find finds the answer that a request is about.
func (s *Service) find(w http.ResponseWriter, r *http.Request) *Answer {
	s.mu.Lock()
	defer s.mu.Unlock()
	a := s.answers[r.PathValue("token")]
	if a == nil {
		refuse(w, 404, 10015, "Unknown Webhook")
	}
	return a
}

// firstAnswer is how long the service waits for a first answer.
const firstAnswer = 3 * time.Second

func (s *Service) callback(w http.ResponseWriter, r *http.Request) {
	a := s.find(w, r)
	if a == nil {
		return
	}
	body, files, err := payload(r)
	if err != nil {
		s.breaks(a.name, err.Error())
		refuse(w, 400, 50035, "Invalid Form Body")
		return
	}
	s.observe("callback", body)
	took := time.Since(a.asked)
	a.mu.Lock()
	twice := a.First != 0
	a.mu.Unlock()
	switch {
	case took > firstAnswer:
		s.breaks(a.name, "first answered after "+took.String())
		refuse(w, 404, 10062, "Unknown interaction")
		return
	case twice:
		s.breaks(a.name, "answered twice")
		refuse(w, 400, 40060, "Interaction has already been acknowledged.")
		return
	}
	if s.Unchecked {
		a.finish()
		w.WriteHeader(http.StatusNoContent)
		return
	}
	if broken := a.take(body, files, took); len(broken) > 0 {
		s.breaks(a.name, broken...)
		refuse(w, 400, 50035, "Invalid Form Body: %s", strings.Join(broken, "; "))
		return
	}
	w.WriteHeader(http.StatusNoContent)
}

// installs are the ways in which the application may be installed.
func (s *Service) installs() map[string]any {
	ways := map[string]any{"0": map[string]any{}}
	if s.Personal {
		ways["1"] = map[string]any{}
	}
	return ways
}

func (s *Service) followup(w http.ResponseWriter, r *http.Request) {
	s.message(w, r, "follow", func(a *Answer, m *Message) []string {
		if a.First == 0 {
			return []string{"a further message before a first answer"}
		}
		if a.personal && len(a.Followups) == 5 {
			return []string{"a sixth further message to a member who installed the bot herself"}
		}
		a.Followups = append(a.Followups, m)
		return nil
	})
}

func (s *Service) edit(w http.ResponseWriter, r *http.Request) {
	s.message(w, r, "edit", func(a *Answer, m *Message) []string {
		if a.First == 0 || a.Withdrawn {
			return []string{"edits a message that is not there"}
		}
		if m.Flags&flagEphemeral != 0 {
			return []string{"an edit can't change who sees the message"}
		}
		a.Message = m
		return nil
	})
}

// message takes a message of a webhook.
func (s *Service) message(w http.ResponseWriter, r *http.Request, kind string, put func(*Answer, *Message) []string) {
	a := s.find(w, r)
	if a == nil {
		return
	}
	body, files, err := payload(r)
	if err != nil {
		s.breaks(a.name, err.Error())
		refuse(w, 400, 50035, "Invalid Form Body")
		return
	}
	a.mu.Lock()
	unread := s.Endpoint != nil && a.First == 0
	a.mu.Unlock()
	if unread {
		refuse(w, 404, 10015, "Unknown Webhook")
		return
	}
	s.observe(kind, body)
	m, broken := messageOf(body, files, a.fileLimit)
	a.mu.Lock()
	if len(broken) == 0 {
		broken = put(a, m)
	}
	a.mu.Unlock()
	if len(broken) > 0 {
		s.breaks(a.name, broken...)
		refuse(w, 400, 50035, "Invalid Form Body: %s", strings.Join(broken, "; "))
		return
	}
	a.finish()
	answerJSON(w, 200, map[string]any{"id": s.newID(), "content": m.Content})
}

func (s *Service) remove(w http.ResponseWriter, r *http.Request) {
	a := s.find(w, r)
	if a == nil {
		return
	}
	a.mu.Lock()
	if s.Endpoint != nil && a.First == 0 {
		a.mu.Unlock()
		refuse(w, 404, 10015, "Unknown Webhook")
		return
	}
	a.Withdrawn, a.Message = true, nil
	a.mu.Unlock()
	w.WriteHeader(http.StatusNoContent)
}

// payload reads a body of JSON, alone or with files.
func payload(r *http.Request) (json.RawMessage, []File, error) {
	kind, parameters, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil {
		return nil, nil, err
	}
	if kind == "application/json" {
		body, err := io.ReadAll(r.Body)
		return body, nil, err
	}
	var body json.RawMessage
	var files []File
	parts := multipart.NewReader(r.Body, parameters["boundary"])
	for {
		p, err := parts.NextPart()
		if err == io.EOF {
			return body, files, nil
		}
		if err != nil {
			return nil, nil, err
		}
		content, err := io.ReadAll(p)
		if err != nil {
			return nil, nil, err
		}
		if p.FormName() == "payload_json" {
			body = content
			continue
		}
		n, err := strconv.Atoi(strings.TrimSuffix(strings.TrimPrefix(p.FormName(), "files["), "]"))
		if err != nil {
			return nil, nil, err
		}
		files = append(files, File{index: n, Name: p.FileName(), Type: p.Header.Get("Content-Type"), Body: content})
	}
}
