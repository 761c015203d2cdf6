package notation

import "countwright/calc/stitch"

// phrases are the words of a pattern that are no stitches, by the part they
// play. Hyphens count as spaces. The number is what the class needs beyond
// itself: how often "twice" is, which loop, which side.
// Source: common practice; the abbreviations follow the Craft Yarn Council's
// master list, the older ones the texts of 1850 to 1920 that tests read.
var phrases = []struct {
	class class
	n     int
	words string
}{
	{cSt, 0, "st|sts|stitch|stitches|stich|stiches|stitchs|stitces|ws sts"},
	{cSpace, 0, "sp|sps|space|spaces|lp|lps|loop|loops|arch|arches|gap|gaps|hole|holes|mesh|meshes"},
	{cChain, 0, "ch|chs|chain|chains|chn|chain stitch|chain stitches|chain st|chain sts|ch st|ch sts|chained"},
	{cTurningChain, 0, "tch|t ch|tc|turning chain|turning chains|turning ch|turn ch|beg ch|beginning chain|beginning ch|starting chain|starting ch|start ch|initial ch|initial chain|turning chain's"},
	{cSkip, 0, "sk|skip|skips|skipped|skipping|miss|missing|misses|missed|omit|omitting|pass over|skp"},
	{cIn, 0, "in|into|inside|onto|on to|in to|through|thru|thro|under|over|on|upon|at|along|down"},
	{cTo, 0, "to|till|until|til|up to|unto|as far as"},
	{cAround, 0, "around|all around|all the way around|round|round and round|all round|around and around|all the way round|rnd about"},
	{cAcross, 0, "across|all across|all the way across|acrs|accross|acros|straight across|in this manner across|in this way across"},
	{cEach, 1, "each|every|ea|both|either|all|all the|each and every|eash|each one of"},
	{cNext, 0, "next|nxt|following|foll|fol|succeeding"},
	{cSame, 0, "same|very same"},
	{cLast, 0, "last|final|lst"},
	{cRemaining, 0, "remaining|rem|rest|remainder|remain|remains|other"},
	{cFinish, 0, "end|ends"},
	{cRepeat, 0, "rep|reps|repeat|repeats|repeating|repeated|rpt|rept"},
	{cFrom, 0, "from|frm"},
	{cTimes, 0, "times|time|tmes"},
	{cX, 0, "x"},
	{cPair, 1, "once|one time"},
	{cPair, 2, "twice"},
	{cPair, 3, "thrice"},
	{cMore, 0, "more|additional|extra|further|again"},
	{cTurn, 0, "turn|turning|tn|trn|turn work|turn the work|turn your work|turn piece|turn over|turns"},
	{cJoin, 0, "join|joining|joins|close|closing|jn|joined|close the round|close round|close rnd"},
	{cMagicRing, 0, "magic ring|magic circle|magic loop|adjustable ring|adjustable loop|sliding loop|sliding ring|mr|magic rng|mrg|double magic ring"},
	{cRing, 0, "ring|circle|center|centre|rg|center of ring|centre of ring|center ring|rng|centre ring"},
	{cFastenOff, 0, "fasten off|fasten|fo|f o|finish off|end off|tie off|cut yarn|cut the yarn|cut wool|cut thread|break yarn|break the yarn|break wool|break the wool|break thread|break off|bind off|fasten off yarn|fasten off the yarn|break and fasten|break and fasten wool|cut off"},
	{cYarn, 0, "yarn|wool|thread|cotton|worsted|silk|color|colour|colors|colours|strand|strands|skein|skeins|ball|balls"},
	{cAttach, 0, "rejoin|re join|reattach|attach|attaching|rejoining|join yarn|join new yarn|join the yarn|join wool|join thread|fasten in|fasten wool|fasten color|fasten colour|tie in|join new color|join new colour|join next color|join next colour|join color|join colour|attach yarn|rejoin yarn|rejoin the yarn|re join yarn"},
	{cLeave, 0, "leave|leaving|leaves"},
	{cUnworked, 0, "unworked|un worked|not worked|unused"},
	{cMarker, 0, "pm|sm|place marker|place a marker|place marker st|place stitch marker|place a stitch marker|place st marker|move marker|move the marker|move marker up|remove marker|remove the marker|marker|markers|stitch marker|st marker|mark|marked|marking|rm|place markers"},
	{cLoop, int(BackLoop), "blo|bl|bls|back loop|back loops|back loop only|back loops only|back lp|back lps|back lp only|back lps only|back lo|tbl|bl only|back vein|back thread|back threads|back half|back horizontal loop|back of st|back loop of|rear loop"},
	{cLoop, int(FrontLoop), "flo|fl|fls|front loop|front loops|front loop only|front loops only|front lp|front lps|front lp only|front lps only|tfl|fl only|front vein|front thread|front threads|front half"},
	{cLoop, int(ThirdLoop), "third loop|3rd loop|third lp|3rd lp|third loop only|3rd loop only|third loops|camel loop|back bar|horizontal bar|third lps only|3 rd loop"},
	{cLoop, int(BothLoops), "both loops|both lps|both veins|both loops only"},
	{cTogether, 0, "tog|together|tgthr"},
	{cCount, 0, "count|counts|counted|counting|cts"},
	{cAs, 0, "as|like"},
	{cMake, 0, "make|makes|making|made|work|works|worked|working|put|putting|place|placing|do|crochet|crocheting|mk|wk|form|forming|set|insert|add"},
	{cThe, 0, "the|of|this|that|these|those|your|their|its|it|complete|entire|whole"},
	{cA, 1, "a|an|another|any|some"},
	{cAnd, 0, "and|then|n|plus|followed by|also"},
	{cHook, 0, "hook|needle|from hook|from the hook|from needle|hk"},
	{cPost, 0, "post|posts|the post|stem|stems|post of|the post of|stem of|post st|post stitch"},
	{cOtherSide, 0, "other side|opposite side|opposite sides|other side of|bottom of|bottom|underside|free loops|unused loops|other edge|opposite edge"},
	{cBetween, 0, "between|bet|betw|btw|btwn|in between"},
	{cEnding, 0, "ending|end with|ends with|finishing|finish"},
	{cSide, int(RightSide), "rs|right side|rs facing|right side facing|right side row|rs row|right side of work|rs of work"},
	{cSide, int(WrongSide), "ws|wrong side|ws facing|wrong side facing|wrong side row|ws row|wrong side of work|ws of work"},
	{cTop, 0, "eye|eyes|top|tops|top of|base|base of|foot of|head of"},
	{cCorner, 0, "corner|corners|cnr"},
	{cRow, int(FlatRow), "row|rows|rw|r|rws|ridge"},
	{cRow, int(Round), "rnd|rnds|rd|rds|rounds|rn|rnd's|rond"},
	{cSize, 0, "size|sizes|sz"},
	{cNot, 0, "not|don't|doesn't|no|without|do not|does not|never|dont|doesnt|don t"},
	{cTotal, 0, "total|in all|in total|altogether|tot|ttl"},
	{cWith, 0, "with|using|w|change to|switch to|changing to|switching to|change|switch|in color|in colour"},
	{cAlso, 0, "evenly|carefully|loosely|tightly|neatly|now|simply|just|only|continue|cont|continuing|alike|continuously|thus|here|next:|approximately|about|also make|proceed|begin|beginning|beg|start|starting|commence|commencing|firmly|finally|first of all|up|instead|please|closely|solidly|along the row|to begin|to start"},
}

// spacedUS are the abbreviations of American texts of about 1920 to 1960.
// Source: American Thread Co., Star Book 98, 1953: s c, s d c, d c, tr c, d tr c.
var spacedUS = map[string]stitch.ID{"s c": "sc", "h d c": "hdc", "s d c": "hdc", "half d c": "hdc", "d c": "dc", "tr c": "tr", "t c": "tr", "d tr c": "dtr", "tr tr c": "trtr"}

// longWords are what texts with "16 s.c." call their double crochet.
// Source: The Ladies' Work-Book, London, 1850s.
var longWords = map[string]stitch.ID{"l": "dc", "long": "dc"}

// spacedUK are the abbreviations of British texts that part their letters.
// Source: common practice.
var spacedUK = map[string]stitch.ID{"d c": "sc", "s c": "sl st", "s s": "sl st", "h tr": "hdc", "h t r": "hdc"}

// numberWords are the numbers that people write out.
var numberWords = []string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
	"thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"}

// ordinalWords are the ordinals that people write out.
var ordinalWords = []string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
	"twelfth"}

// tooShort are by-names of stitches that are read as plain English here: "a v
// in the row", "id", "pop".
var tooShort = map[string]bool{"v": true, "id": true, "pop": true, "bs": true, "bob": true, "pic": true, "pcs": true, "slip": true, "granny": true, "alpine": true, "thermal": true, "cross stitch": true}
