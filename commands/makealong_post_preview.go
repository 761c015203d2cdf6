package commands

import (
	"regexp"
	"strings"
	"time"

	readable "countwright/calc/prose"
	"countwright/commands/reply"
	"countwright/commands/words"
)

// previewPost shows a post as its channel will see it, to its host alone:
// nobody is pinged, and neither quiet hours nor a sleeping channel count. To a
// host's own text it adds what she may like to know of it.
func previewPost(said words.Printer, m MakeAlong, p Post, now time.Time) (reply.Reply, error) {
	m.State = AlongOpen
	w := wording{Posting: Posting{Post: p, MakeAlong: m, Now: now}, Printer: m.printer()}
	if p.Kind == HostNote {
		return reply.Reply{}, Refused("A note to hosts can't be shown beforehand: it is made of what members say.")
	}
	if why := w.pointless(); why != "" && p.Kind != EventPost {
		return reply.Reply{}, Refused("This post will not be sent: %s.", why)
	}
	r := reply.Reply{}
	switch p.Kind {
	case WelcomePost:
		r = w.welcome()
	case FarewellPost:
		r = w.parting(figures{})
	case MidwayPost:
		r = w.midway()
	case EventPost:
		r = *w.event().Reply
	default:
		r = w.checkInParts()
	}
	r.Private = true
	if p.Kind != EventPost {
		r.Parts = append(r.Parts, textTips(said, m.Course.Texts[p.Key])...)
	}
	return r, nil
}

// textTips are what a host may like to know of her own text before others
// read it. None of it keeps the text from being used.
func textTips(p words.Printer, text string) []reply.Block {
	var tips []reply.Block
	if found := stings(text); len(found) > 0 {
		tips = append(tips, reply.Tip{Text: p.Say("Before you use it: “%s” can sting those who have little time just now. The text works without it, too.", strings.Join(found, "”, “"))})
	}
	if m := readable.Of(text); m.Words >= 20 && m.Grade() > readable.Easy+2 {
		tips = append(tips, reply.Tip{Text: p.Say("Before you use it: short sentences help those who are new to crochet or to English. Some of these are long.")})
	}
	if strings.ContainsAny(text, "*_~`") {
		tips = append(tips, reply.Tip{Text: p.Say("Stars, lines and the like are shown as they stand; they set nothing bold.")})
	}
	return tips
}

// stinging finds words that compare people, press them or blame them. What
// Countwright itself says in a make-along has none of them.
var stinging = regexp.MustCompile(`(?i)\b(` + strings.Join([]string{
	"behind", "late", "too long", "slow(?:er|est|ly|poke)?", "laz(?:y|iness)", "should(?:n't| not)? have", "ought to", "supposed to", "must have",
	"only", "merely", "fail(?:s|ed|ing|ure)?", "last place", "hurry(?:ing)?", "rush(?:ed|ing)?", "overdue", "deadlines?", "catch(?:ing)? up", "keep(?:ing)? up",
	"lag(?:s|ged|ging)?", "stragglers?", "laggards?", "forgot(?:ten)?", "neglect(?:ed)?", "excuses?", "asham(?:ed|ing)", "shame(?:ful)?", "guilt(?:y)?", "losers?", "winners?",
	"worst", "rank(?:s|ed|ing)?", "beat(?:s|en)?", "faster", "fastest", "quicker", "g[ia]ve(?:n)? up", "quit(?:ter)?", "disappoint(?:ed|ing|ment)?",
	"unfinished", "incomplete", "not yet", "still not", "at last", "finally", "missed", "inactive", "idle", "absent", "no progress",
}, "|") + `)\b`)

// stings returns the words of a text that may hurt, each once.
func stings(text string) []string {
	var found []string
	seen := map[string]bool{}
	for _, w := range stinging.FindAllString(text, -1) {
		if l := strings.ToLower(w); !seen[l] {
			seen[l] = true
			found = append(found, l)
		}
	}
	return found
}
