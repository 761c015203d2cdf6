package commands

import (
	"context"
	"errors"
	"time"

	"countwright/calc/along"
	"countwright/calc/schedule"
	"countwright/commands/reply"
)

// MakeAlongs keeps what groups make together. Each call that changes
// something, delivered twice, is one.
type MakeAlongs interface {
	// Make keeps a new make-along as a draft and returns it with its ID; ErrNamed
	// where the server has one of this name that is not closed.
	Make(ctx context.Context, call, member string, m MakeAlong) (MakeAlong, error)
	// Save keeps a make-along as it was changed, and puts posts in place of all
	// those that were not taken up yet. ErrChanged where somebody saved another
	// version in the meantime.
	Save(ctx context.Context, call, member string, m MakeAlong, posts []Post) (MakeAlong, error)
	// Along returns one by its number, and false where there is none.
	Along(ctx context.Context, id int64) (MakeAlong, bool, error)
	// List returns a server's: those not closed first, then the newest first.
	List(ctx context.Context, server string) ([]MakeAlong, error)
	// Posts returns all of one's posts, in order of when they are due.
	Posts(ctx context.Context, id int64) ([]Post, error)
	MakeAlongParty
}

// MakeAlongParty is those who take part.
type MakeAlongParty interface {
	// Party returns everybody who takes part, in order of joining.
	Party(ctx context.Context, id int64) ([]Participant, error)
	// Joined returns a member's own parts in make-alongs, the newest first.
	Joined(ctx context.Context, member string) ([]Participant, error)
	// Join adds a member or changes what is kept of her part: all but progress,
	// which comes from her project. ErrTaken where another has the seat.
	Join(ctx context.Context, call string, p Participant) error
	// Retarget keeps the Targets, and the Version that they are of, of members
	// who take part with their Projects. Nothing else changes, and whoever has
	// left stays away.
	Retarget(ctx context.Context, id int64, parts []Participant) error
	// Leave removes her part, with her answers. Her project stays hers.
	Leave(ctx context.Context, call, member string, id int64) error
	// Answer keeps what a member says at a milestone, in place of what she said
	// there before.
	Answer(ctx context.Context, call string, a Answer) error
	// Answers returns what was said at a milestone (from 0), or with -1 at all.
	Answers(ctx context.Context, id int64, milestone int) ([]Answer, error)
	// Share keeps that a member showed a picture to the group.
	Share(ctx context.Context, call string, s Shared) error
	// Gallery returns the pictures shown, oldest first.
	Gallery(ctx context.Context, id int64) ([]Shared, error)
	// TakePings returns those of the members whom a post may ping: nobody is
	// pinged twice within a week, in whatever make-along. The same post asking
	// again gets the same members.
	TakePings(ctx context.Context, post int64, members []string) ([]string, error)
}

// Errors of MakeAlongs.
var (
	// ErrChanged says that somebody else changed it in the meantime.
	ErrChanged = errors.New("the make-along was changed in the meantime")
	// ErrTaken says that a tester call's size has its tester.
	ErrTaken = errors.New("this seat is taken")
)

// MakeAlong is a group's work over weeks, or a call for testers.
type MakeAlong struct {
	ID      int64
	Version int // goes up with every change
	Server  string
	Channel string // where its posts go
	Name    string
	State   MakeAlongState
	Host    string // the member who made it
	Course  Course
	Made    time.Time
	Changed time.Time
}

// MakeAlongState is how a make-along stands.
type MakeAlongState string

// The states.
const (
	AlongDraft   MakeAlongState = "draft"   // being prepared; only hosts see it
	AlongOpen    MakeAlongState = "open"    // published
	AlongPaused  MakeAlongState = "paused"  // nothing is posted; it can go on
	AlongClosed  MakeAlongState = "closed"  // finished
	AlongBlocked MakeAlongState = "blocked" // its channel can't be written to; it can go on
)

// Course is what the host settled. It is kept as JSON.
type Course struct {
	Pattern    string            `json:"pattern"`           // as members name it
	Version    string            `json:"version,omitempty"` // of a pattern that the server keeps
	Tester     bool              `json:"tester,omitempty"`  // a tester call
	Sizes      []string          `json:"sizes,omitempty"`   // of a tester call: each has a seat
	Start      schedule.Date     `json:"start"`
	Zone       string            `json:"zone"`               // IANA
	Language   string            `json:"language,omitempty"` // in which it speaks in its channel, a code of words.Languages; empty: English
	At         schedule.Clock    `json:"at"`                 // when posts go out
	Quiet      schedule.Quiet    `json:"quiet"`
	Milestones []along.Milestone `json:"milestones"`
	Keys       int               `json:"keys,omitempty"`  // given to milestones so far
	Out        []along.Milestone `json:"out,omitempty"`   // taken out after it was opened: title, date and key, for calendars that have them
	Texts      map[string]string `json:"texts,omitempty"` // the host's own, by a post's key
	Tell       string            `json:"tell,omitempty"`  // the channel in which hosts are told; empty: the host in a direct message
	Midway     bool              `json:"midway"`          // a note halfway between milestones
	Event      bool              `json:"event,omitempty"` // the server's own scheduled events are made
	PausedOn   schedule.Date     `json:"paused_on,omitzero"`
}

// Participant is one member's part in a make-along.
type Participant struct {
	Along    int64
	Member   string
	Name     string // as she wishes to be named; empty: she is not
	Joined   time.Time
	Project  int64  // her project; 0: none
	Size     string // as said on joining
	Gauge    string
	Seat     string             // of a tester call: the size that is hers; unique in it
	Shift    int                // days that her calendar is later than the group's
	State    ParticipantState   //
	Pings    bool               // she asked to be pinged
	Quiet    bool               // she asked to be left alone
	Targets  [][]along.Target   // of each milestone, in her rows
	Version  int                // of the make-along that Targets were made for
	Measured map[string]float64 // of a tester: what she measured, by name (millimetres, grams, minutes, stitches)
	Remarks  string             // of a tester, in her own words

	// From her project and settings; Join does not keep them.
	Zone    string
	Lengths []int // the rows of each piece
	Done    []int // the rows done of each piece
	Work    ProjectState
	Counted time.Time // when she last counted
}

// ParticipantState is how a member's part stands.
type ParticipantState string

// The states.
const (
	TakingPart ParticipantState = "working"
	Resting    ParticipantState = "resting"
)

// Answer is what a member said at a milestone.
type Answer struct {
	Along     int64
	Milestone int // from 0
	Member    string
	Name      string // as the service shows it, kept only where she asks for help: hosts see it then
	Say       string // SayOnIt, SayNeedHelp, SayResting or SayDone
	Place     string // where her work stood, with its counts
	Words     string // her question
	At        time.Time
}

// What a member says with one tap.
const (
	SayOnIt     = "on it"
	SayNeedHelp = "need help"
	SayResting  = "resting"
	SayDone     = "done"
)

// Shared is a picture shown to the group.
type Shared struct {
	Along  int64
	Member string
	Name   string // as she wishes to be named; empty: she is not
	Text   string // what is on it
	Where  string // the message that shows it, or words that say where it is
	At     time.Time
}

// Post is one post of a make-along: planned, then on its way, then sent once.
type Post struct {
	ID        int64 // set by the store
	Along     int64
	Key       string // unique in its make-along: "milestone/2", "midway/2", "help/2"
	Kind      PostKind
	Milestone int       // from 0; -1: none
	Due       time.Time // UTC
	State     PostState // set by the store
	To        string    // a HostNote's reader: a member's ID
	Text      string    // what a HostNote says where the key alone does not
	Message   string    // the ID of what was sent
}

// PostKind is what a post is for.
type PostKind string

// The kinds.
const (
	WelcomePost   PostKind = "welcome"
	MilestonePost PostKind = "milestone"
	MidwayPost    PostKind = "midway"
	FarewellPost  PostKind = "farewell"
	HostNote      PostKind = "host"  // read by hosts only
	EventPost     PostKind = "event" // the server's scheduled event of a milestone
)

// PostState is how far a post is.
type PostState string

// The states.
const (
	PostPlanned PostState = "planned"
	PostTaken   PostState = "taken"   // on its way
	PostSent    PostState = "sent"    //
	PostMerged  PostState = "merged"  // told in a later one
	PostSkipped PostState = "skipped" //
)

// Posting is a post that has fallen due, as whoever sends it hands it over to
// be worded.
type Posting struct {
	Post
	MakeAlong MakeAlong
	Merged    []Post // older ones that fell due meanwhile, told in this one
	Now       time.Time
	Asleep    bool // nobody has written in the channel, tapped or counted since the last two posts
	HostWrote bool // a host wrote in the channel in the last 12 hours
}

// Wording is what becomes of a Posting: Reply, Skip or Later is set.
//
// In the chat, each Reply but that of an EventPost has a button whose line
// holds "post:" and the post's ID as a word, by which a message can be found to
// be this post. An EventPost's has an [EventCard] as its Data instead.
type Wording struct {
	Reply *reply.Reply
	Skip  string    // why it is better not sent
	Later time.Time // it is quiet hours until then
	// Note, with a Skip, is a HostNote to be planned and sent like any other.
	// Its Key makes it one however often it is worded.
	Note *Post
}

// EventCard is a milestone as the server's own scheduled event has it. All its
// texts are plain: nothing in them pings or is markup.
type EventCard struct {
	Name        string    `json:"name"`        // at most 100 characters
	Description string    `json:"description"` // at most 1000 characters; its last line is Mark
	Start       time.Time `json:"start"`
	End         time.Time `json:"end"`
	Location    string    `json:"location"` // at most 100 characters
	Mark        string    `json:"mark"`     // by which the event can be found again
}
