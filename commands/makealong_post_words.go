package commands

import "countwright/commands/words"

// The ways to say a thing that a group hears every week. Each is true for
// everybody, wherever her work stands.

// herePlaces open a milestone's check-in.
var herePlaces = []words.Key{
	"Here is where the calendar meets us today. Come as you are, with as many rows as you have.",
	"The calendar has come to this part. Your own pace is the right one.",
	"Put the kettle on. Here is what helps with this part.",
	"This is a good place to stop and look at what is on the hook.",
	"Another stop on the way. Each row counts, on whatever day you make it.",
	"Let us look at this part together. Take what helps you, and leave the rest.",
	"Hello, all. Wherever your work is, you are part of this.",
	"Yarn out, feet up. This is the part that the calendar shows.",
}

// hostWasHere open a check-in where the host wrote in the channel herself.
var hostWasHere = []words.Key{
	"Your host has told you about this part. From me there is one question.",
	"You have heard from your host, so I keep it short.",
	"Your host said it all. I am here to count the taps.",
}

// questions end a check-in, above the buttons.
var questions = []words.Key{
	"Where are you with it? One tap tells me.",
	"How is it going? One tap is enough.",
	"How does it feel on the hook? Tap what fits.",
	"What fits today? You can tap again when that changes.",
	"How are things with this part? A tap will do.",
	"Where does this find you? Each answer is a good one.",
	"What shall I note for you? Tap one.",
}

// testersNote reminds testers of what is hard to know afterwards.
const testersNote words.Key = "Testers: write down your gauge (UK tension), your yarn and your time as you go. /makealong measured keeps them."

// tapsAre says what becomes of a tap.
const tapsAre words.Key = "Taps are counted, without names. If you ask for help, the hosts see who asks."

// halfways open a note between two milestones, with the one that is next and its
// date.
var halfways = []words.Key{
	"A wave from halfway. Next we meet at “%s”, on %s.",
	"Halfway, says the calendar, and there is time to sit and stitch. The next stop is “%s”, on %s.",
	"A short note between two stops. Next comes “%s”, on %s.",
	"The yarn knows no calendar, but I do. Next on it is “%s”, on %s.",
	"I am just looking in. The next place to meet is “%s”, on %s.",
}

// useful are things worth knowing on any day, one for each note halfway.
var useful = []words.Key{
	"Shake out your hands every half hour, and roll your shoulders. If something hurts, stop. If it stays, ask a doctor.",
	"Put a marker in the first stitch of each row. On the way back it shows you where the row ends.",
	"Weigh your yarn now and then. With /project note left:300 g I can tell if it lasts.",
	"Count your stitches in one row of ten. It takes a minute and can save an evening.",
	"Pull some arm lengths of yarn free before you sit down. Then nothing tugs, and the stitches come out even.",
	"Take a photo by a window. Later you will like to see how it grew.",
	"Write down which hook you use. /project note keeps that with your row.",
	"Measure your gauge (UK tension) once more in the middle of the piece. Hands change as they relax.",
	"Dark yarn? A lamp at your shoulder and a pale cloth on your lap make it easy to read.",
	"Keep a label of your yarn. The dye lot is on it.",
	"Stop at the end of a row, with a pin through the loop. It waits for you.",
	"Pulling out rows is part of making. The yarn is none the worse for it.",
	"Lay your piece on a thing of yours that fits. It tells you more than a number.",
	"Put yarn, hook and scissors where small children and pets can't reach them.",
}

// farewells open the last post.
var farewells = []words.Key{
	"This is the last stop on our calendar. What you made is yours, finished or still on the hook.",
	"Our calendar ends here. Your work goes on as long as you like.",
	"The last page of our calendar. Thank you for sitting together, each with her own yarn.",
}

// onItWords, restingWords and doneWords answer a tap.
var (
	onItWords = []words.Key{
		"Enjoy it. Your place is kept.",
		"Lovely. May the yarn run well.",
		"Good to know. I wish you a quiet hour with it.",
	}
	restingWords = []words.Key{
		"Rest well. A pause is a normal part of making, and your place is kept.",
		"A pause does hands and heads good. All is as you left it when you take it up.",
		"Noted. Nothing is asked of you, and your work waits with its row.",
	}
	doneWords = []words.Key{
		"How good. Lay it out flat and have a look at what your hands did.",
		"Well made. Enjoy the look of it before you go on.",
		"Bravo. Put the hook down for a moment and be pleased.",
		"That is a fine thing to have done. I am glad with you.",
	}
)
