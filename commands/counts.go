package commands

import "countwright/commands/words"

// Counts of things that makers count, in words.

func stitchCount(n int) words.Message { return words.Count(n, "%d stitch", "%d stitches") }

func countedRows(n int) words.Message { return words.Count(n, "%d row", "%d rows") }

func pieceCount(n int) words.Message { return words.Count(n, "%d piece", "%d pieces") }

func dayCount(n int) words.Message { return words.Count(n, "%d day", "%d days") }

func weekCount(n int) words.Message { return words.Count(n, "%d week", "%d weeks") }

func plainRowCount(n int) words.Message { return words.Count(n, "%d plain row", "%d plain rows") }

func increaseCount(n int) words.Message { return words.Count(n, "%d increase", "%d increases") }

func decreaseCount(n int) words.Message { return words.Count(n, "%d decrease", "%d decreases") }

func buttonholeCount(n int) words.Message {
	return words.Count(n, "%d buttonhole", "%d buttonholes")
}
