package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"regexp"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"
)

// Config is what the operator sets. Its zero value, filled in by defaults, is
// the practice room's.
type Config struct {
	Token     string   `toml:"token"`      // the bot's token; better in TokenFile or the environment
	TokenFile string   `toml:"token_file"` // a file that holds nothing but the token
	Server    string   `toml:"server"`     // the id of the one server to register commands in while developing; empty: everywhere
	HostRoles []string `toml:"host_roles"` // ids of roles whose members are hosts, besides those who may manage events
	Database  string   `toml:"database"`   // path of the SQLite file
	Backup    Backup   `toml:"backup"`
	Log       Log      `toml:"log"`
}

// Backup says where and when the nightly copy of the database goes.
type Backup struct {
	Folder string `toml:"folder"` // empty: no backups
	At     string `toml:"at"`     // "03:10", UTC
	Keep   int    `toml:"keep"`   // how many of the newest are kept
}

// Log says what is logged.
type Log struct {
	Level string `toml:"level"` // debug, info, warn or error
	JSON  bool   `toml:"json"`  // one JSON object a line instead of text
}

// environmentToken names the environment variable that overrides the token.
const environmentToken = "COUNTWRIGHT_TOKEN"

func defaults() Config {
	return Config{
		Database: "countwright.db",
		Backup:   Backup{Folder: "backups", At: "03:10", Keep: 14},
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
		token, err := os.ReadFile(c.TokenFile)
		if err != nil {
			return c, fmt.Errorf("read token_file: %w", err)
		}
		c.Token = string(token)
	}
	if token := environment(environmentToken); token != "" {
		c.Token = token
	}
	c.Token = strings.TrimSpace(c.Token)
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
	if strings.ContainsAny(c.Token, " \t\r\n") {
		return errors.New("token: it holds white space; copy it again")
	}
	return nil
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
