// Package logger reads the files that temperature loggers write and says which
// of their readings can be believed.
//
// Parse takes the text as it came: with or without a byte order mark, UTF-8 or
// UTF-16, any preamble above a header row, columns parted by comma, semicolon or
// tab, decimal point or comma, °F or °C, times with an offset or by the clock on
// the wall of a given zone. Nothing is guessed that would change a number: a
// file that does not name its unit or its zone is refused until a person does.
// Clean flags what to leave out (readiness.md section 8); every row is kept.
//
// Dates with slashes are month first, as written in the United States; dates
// with dots are day first; dates with dashes are year first (ISO 8601).
package logger
