// Package ui holds the pieces all screens share: words, the shop's units and
// zone, the page around every screen, form fields, badges and problems.
//
// Words. Every text on a screen is T(ctx, "English sentence", values...); a
// sentence made by the domain is Say(ctx, words). Components below take text
// that has already been through one of the two.
//
// Shop and holder. WithShop and WithHolder put the shop and whoever holds the
// tablet into the context once per request; every formatter and the layout
// read them there.
//
// Units. Temp, Weight, Length, Day, Clock, Moment write a value for people in
// the shop's own units and zone; ReadTemp, ReadWeight, ReadLength, ReadMoney,
// ReadWhen and ReadDay read what was typed, and TypedTemp and its kin put a
// value back into a form field.
//
// Pages. Layout is the page of everyone signed in. It knows by the address (At) which
// screen a page stands under (place.go): that one is lit in the menu, and the one way up
// stands above the title, to the page above or to the screen, where the holder has it.
// No page writes "Back to"; one whose address does not say what is above it gives
// Page.Up. What is done on a page as a whole, and where else it leads, is Page.Tools:
// beside the title, on a phone beneath it. Plain is for signing in;
// Public is the hunter's, without script or any way into the shop; Sheet is
// paper at true size. Render writes a page, ShowProblem a problem.
//
// Forms. Field, TextArea, Select, Choice, Check, PIN, Hidden and Submit. Each
// takes the *domain.Error of the last try and marks itself if the error is its. In two
// columns the boxes of a row end on one line, so a hint may stand above one of them; a
// text area grows with what is in it.
//
// Lists. Ledger with Lines is for what somebody does next: the whole line is the
// tap, and Urgent is for what needs a person, at the top. Facts is for what one
// thing is; TimeLine for what was done to it; Steps for where it stands on its way.
// A table (class table-scroll with Sideways, so that the keyboard reaches it) is for
// numbers that are compared. With class stacks, and in each cell but the first the name
// of its column as data-name, its rows are paragraphs on a phone: for lists whose cells
// hold words or forms. Figure is for the two or three numbers of a page.
// Notice says one thing to know now, Empty what to do where there is nothing (ToSetUp
// or ToDropOff beneath it in a shop that only begins), Sums folds away what only a careful
// reader asks for; Sums that follow each other are one list.
//
// Words that must not be broken. A number and its unit come from the formatters with a
// Joint between them, where no line ends. Whole keeps a number with hyphens, such as a tag, a
// place or a phone, on one line; headings, notes and Lines do so by themselves. A cell
// of a table that holds a sentence has class words. Tiles are set wider or closer by
// themselves, by the length of their labels; a chosen one has a frame, filled with ink are
// buttons alone. Whence each word for a state, name of a
// screen, colour and layout comes stands in origins_test.go.
//
// Long work. A form with a file says by itself how much of it has gone.
//
// Buttons. One primary on a page at most, Submit in a form; quiet for the ways to
// other pages; danger for what cannot be taken back.
//
// Rail, HangTag and Gap draw a rail to scale from the door, 5 cm to a step, each place
// as wide as its Rail says; the line ends where the rail does. The
// number is as large as its place allows, to be read from three metres; on paper
// the board is one letter page, with five hundred animals too.
//
// Paper on a screen. On a phone a letter page wraps to the screen, a slip or a label
// is drawn smaller; what is printed keeps its size. A slip never loses its
// barcode: what is too long goes on to a second one.
//
// Everyone. Sizes are rem and the widths at which a page changes are em, so large
// letters set in the browser bring the narrow page. Nothing moves by itself. Every
// page passes axe-core (web/browser, TestScreensOfTheSeason with -looks).
//
// Marks. Condition tells the eight conditions by words and fill pattern, Held
// is the stripe of a hold, Tag the number on its tag, Caution the usual
// caution where a result could hurt someone.
//
// The stylesheets are static/css/coldrail.css and print.css. The content
// policy forbids inline styles and scripts, so there are classes for
// everything and no style attribute anywhere. Public alone carries a part of
// coldrail.css inside it (static.OwnersStyle), known to the policy by its hash.
package ui
