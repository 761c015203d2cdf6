package main

import (
	"bytes"
	"crypto/ed25519"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/url"
	"os"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"countwright/bot/chat"
	"countwright/store"
)

// Config is what the operator sets. Its zero value, filled in by defaults, is
// the practice room's.
type Config struct {
	Token     string   `toml:"token"`      // the bot's token; better in TokenFile or the environment
	TokenFile string   `toml:"token_file"` // a file that holds nothing but the token
	Server    string   `toml:"server"`     // the id of the one server to register commands in while developing; empty: everywhere
	HostRoles []string `toml:"host_roles"` // ids of roles whose members are hosts, besides those who may manage events
	Database  string   `toml:"database"`   // path of the SQLite file, or a postgres:// address
	Backup    Backup   `toml:"backup"`
	HTTP      HTTP     `toml:"http"`
	Shards    Shards   `toml:"shards"`
	Limits    Limits   `toml:"limits"`
	Log       Log      `toml:"log"`
}

// Backup says where and when the nightly copy of the database goes.
type Backup struct {
	Folder string `toml:"folder"` // empty: no backups
	At     string `toml:"at"`     // "03:10", UTC
	Keep   int    `toml:"keep"`   // how many of the newest are kept
}

// HTTP says where health and figures can be asked for, and whether
// interactions come that way too.
type HTTP struct {
	Address      string `toml:"address"`      // where to listen, "127.0.0.1:8080"; empty: nowhere
	Interactions bool   `toml:"interactions"` // take interactions at /interactions, in place of the gateway
	PublicKey    string `toml:"public_key"`   // the application's, as the developer portal shows it
}

// Shards says which of the gateway's connections this process keeps.
type Shards struct {
	Count int    `toml:"count"` // of all processes together; 0: as many as the service advises
	Range string `toml:"range"` // "0-3": those of this process; empty: all
}

// Limits says how much is taken from one place, in commands a minute. A
// quarter of it may come at once.
type Limits struct {
	Member int `toml:"member"` // of one member; 0: any number
	Server int `toml:"server"` // of one server; 0: any number
}

// Log says what is logged.
type Log struct {
	Level string `toml:"level"` // debug, info, warn or error
	JSON  bool   `toml:"json"`  // one JSON object a line instead of text
}

// environmentDatabase names the environment variable that overrides the
// database.
const environmentDatabase = "COUNTWRIGHT_DATABASE"

// environmentToken names the environment variable that overrides the token.
const environmentToken = "COUNTWRIGHT_TOKEN"

func defaults() Config {
	return Config{
		Database: "countwright.db",
		Backup:   Backup{Folder: "backups", At: "03:10", Keep: 14},
		Limits:   Limits{Member: 60, Server: 1200},
		Log:      Log{Level: "info"},
	}
}

// readConfig reads the file and then the environment. A file that does not
// exist is an error only when it was asked for by name.
func readConfig(path string, named bool, environment func(string) string) (Config, error) {
	c := defaults()
	text, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && !named:
	case err != nil:
		return c, fmt.Errorf("read configuration: %w", err)
	default:
		if err := decodeConfig(path, text, &c); err != nil {
			return c, err
		}
	}
	if c.TokenFile != "" && c.Token == "" {
		token, err := readSecret(c.TokenFile)
		if err != nil {
			return c, fmt.Errorf("token_file: %w", err)
		}
		c.Token = token
	}
	if token := environment(environmentToken); token != "" {
		c.Token = token
	}
	c.Token = strings.TrimSpace(c.Token)
	if place := environment(environmentDatabase); place != "" {
		c.Database = place
	}
	return c, c.check()
}

// decodeConfig names every unknown key and wrong value with its place in the file.
func decodeConfig(path string, text []byte, c *Config) error {
	d := toml.NewDecoder(bytes.NewReader(text)).DisallowUnknownFields()
	err := d.Decode(c)
	var unknown *toml.StrictMissingError
	var wrong *toml.DecodeError
	switch {
	case errors.As(err, &unknown):
		var places []string
		for _, e := range unknown.Errors {
			line, column := e.Position()
			places = append(places, fmt.Sprintf("%s:%d:%d: there is no setting %q", path, line, column, strings.Join(e.Key(), ".")))
		}
		return errors.New(strings.Join(places, "\n"))
	case errors.As(err, &wrong):
		line, column := wrong.Position()
		return fmt.Errorf("%s:%d:%d: the value of %q does not fit; see config.example.toml", path, line, column, strings.Join(wrong.Key(), "."))
	case err != nil:
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

var snowflake = regexp.MustCompile(`^[0-9]{15,20}$`)

func (c Config) check() error {
	if c.Server != "" && !snowflake.MatchString(c.Server) {
		return fmt.Errorf("server: %q is not a server's id; it is a number of 15 to 20 digits", c.Server)
	}
	for _, role := range c.HostRoles {
		if !snowflake.MatchString(role) {
			return fmt.Errorf("host_roles: %q is not a role's id; it is a number of 15 to 20 digits", role)
		}
	}
	if c.Database == "" {
		return errors.New(`database: name a file, such as "countwright.db"`)
	}
	if _, err := c.Backup.schedule(); err != nil {
		return err
	}
	if c.Backup.Keep < 1 {
		return errors.New("backup.keep: keep at least 1")
	}
	if _, err := c.Log.level(); err != nil {
		return err
	}
	if err := c.HTTP.check(); err != nil {
		return err
	}
	if _, err := c.Shards.parse(); err != nil {
		return err
	}
	if c.Limits.Member < 0 || c.Limits.Server < 0 {
		return errors.New("limits: a number of commands a minute, or 0 for any number")
	}
	if strings.ContainsAny(c.Token, " \t\r\n") {
		return errors.New("token: it holds white space; copy it again")
	}
	return nil
}

// readSecret reads a file that nobody else may read.
func readSecret(path string) (string, error) {
	if err := private(path); err != nil {
		return "", err
	}
	secret, err := os.ReadFile(path)
	return strings.TrimSpace(string(secret)), err
}

// private says of a file that others may read it.
func private(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	if mode := info.Mode().Perm(); mode&0o077 != 0 && runtime.GOOS != "windows" {
		return fmt.Errorf("others may read %s (its mode is %o): chmod 600 %s", path, mode, path)
	}
	return nil
}

// keepsSecrets says of a configuration that holds the token, or a database's
// password, that others may read it.
func keepsSecrets(path string) error {
	var c Config
	text, err := os.ReadFile(path)
	if err != nil || decodeConfig(path, text, &c) != nil {
		return nil // readConfig has told what there is to tell
	}
	password := false
	if u, err := url.Parse(c.Database); err == nil && store.Networked(c.Database) {
		_, password = u.User.Password()
		password = password || u.Query().Has("password")
	}
	if c.Token == "" && !password {
		return nil
	}
	return private(path)
}

func (h HTTP) check() error {
	if h.Address != "" {
		if _, port, err := net.SplitHostPort(h.Address); err != nil || port == "" {
			return fmt.Errorf(`http.address: %q is not an address; write it as "127.0.0.1:8080"`, h.Address)
		}
	}
	if !h.Interactions {
		return nil
	}
	if h.Address == "" {
		return errors.New(`http.interactions: name an http.address to take them at, such as "127.0.0.1:8080"`)
	}
	if _, err := h.key(); err != nil {
		return err
	}
	return nil
}

// key is the application's public key; nil where interactions come over the
// gateway.
func (h HTTP) key() (ed25519.PublicKey, error) {
	if !h.Interactions {
		return nil, nil
	}
	key, err := hex.DecodeString(h.PublicKey)
	if err != nil || len(key) != ed25519.PublicKeySize {
		return nil, errors.New("http.public_key: copy the 64 hexadecimal digits that the developer portal shows as the application's public key")
	}
	return key, nil
}

var shardRange = regexp.MustCompile(`^(\d{1,5})-(\d{1,5})$`)

func (s Shards) parse() (chat.Shards, error) {
	if s.Count < 0 || s.Count > 16384 {
		return chat.Shards{}, fmt.Errorf("shards.count: %d is no number of connections; 0 takes as many as the service advises", s.Count)
	}
	if s.Range == "" {
		return chat.Shards{Count: s.Count, Last: max(0, s.Count-1)}, nil
	}
	m := shardRange.FindStringSubmatch(s.Range)
	if m == nil {
		return chat.Shards{}, fmt.Errorf(`shards.range: %q is no range; write it as "0-3"`, s.Range)
	}
	first, _ := strconv.Atoi(m[1])
	last, _ := strconv.Atoi(m[2])
	if first > last || last >= s.Count {
		return chat.Shards{}, fmt.Errorf("shards.range: %q does not lie in the %d connections of shards.count, which are numbered from 0", s.Range, s.Count)
	}
	return chat.Shards{Count: s.Count, First: first, Last: last}, nil
}

// schedule is the cron line of the nightly backup, in UTC.
func (b Backup) schedule() (string, error) {
	at, err := time.Parse("15:04", b.At)
	if err != nil {
		return "", fmt.Errorf(`backup.at: %q is not a time of day; write it as "03:10", UTC`, b.At)
	}
	return fmt.Sprintf("%d %d * * *", at.Minute(), at.Hour()), nil
}

func (l Log) level() (slog.Level, error) {
	var level slog.Level
	if err := level.UnmarshalText([]byte(l.Level)); err != nil {
		return 0, fmt.Errorf("log.level: %q is none of debug, info, warn, error", l.Level)
	}
	return level, nil
}
