package ui

// spanishSingulars pairs an English sentence with what its Spanish says when its
// first value is exactly one, as singulars does for English.
var spanishSingulars = map[string]string{
	"%d animals":                          "%d animal",
	"%d animals hanging":                  "%d animal colgado",
	"%d animals, in the order of a walk.": "%d animal, en el orden de un recorrido.",
	"%d animals in there":                 "%d animal ahí dentro",
	"%d animals wait for a decision.":     "1 animal espera una decisión.",
	"%d animals wait for a decision. Decide about them first.": "1 animal espera una decisión. Decida primero sobre él.",
	"%d boxes":            "%d caja",
	"%d carcasses":        "%d canal",
	"%d cards":            "%d tarjeta",
	"%d days":             "%d día",
	"%d days ago":         "hace %d día",
	"%d days left.":       "Queda %d día.",
	"%d days too early.":  "%d día antes de tiempo.",
	"%d cutters, %s each": "%d cortador, %s",
	"%d labels of %s were printed on it since it last printed true: look at them, and replace those that are too small.": "Con ella se imprimió %d etiqueta de %s desde la última vez que imprimió bien: revísela y cámbiela si salió chica.",
	"%d fans":      "%d ventilador",
	"%d hours":     "%d hora",
	"%d hours ago": "hace %d hora",
	"%d letters":   "%d carta",
	"%d people so far. Each taps their own name; nobody shares one.": "Una persona hasta ahora. Cada quien toca su propio nombre; nadie lo comparte.",
	"We have tried to reach you %d times, the first time on %s.":     "Tratamos de comunicarnos con usted una vez, el %[2]s.",
	"%d minutes ago": "hace %d minuto",
	"%d more places are free but do not fit by the rules.": "Hay %d lugar libre más, pero no cuadra con las reglas.",
	"%d packs":      "%d paquete",
	"%d days late.": "%d día de retraso.",
	"More hangs than the crew can cut in time: %d are past their last day before their turn.": "Cuelga más de lo que el equipo puede cortar a tiempo: %d pasa su último día antes de su turno.",
	"%d pieces here":                    "%d pieza aquí",
	"%d places are free.":               "Hay %d lugar libre.",
	"%d still hang by an older version": "1 todavía cuelga con una versión anterior",
	"Owed: %d animals":                  "Faltan datos: %d animal",
	"in %d days":                        "en %d día",
	"%d times":                          "%d vez",
	"Somebody looked at it by itself %d times.": "Alguien lo revisó por separado %d vez.",
	"%d lines, printed %s.":                     "%d línea, impresa %s.",
}

// spanishCalendar are the days and months, which the program has from package time.
var spanishCalendar = map[string]string{
	"Mon": "lun", "Tue": "mar", "Wed": "mié", "Thu": "jue", "Fri": "vie", "Sat": "sáb", "Sun": "dom",
	"Monday": "lunes", "Tuesday": "martes", "Wednesday": "miércoles", "Thursday": "jueves", "Friday": "viernes", "Saturday": "sábado", "Sunday": "domingo",
	"Jan": "ene", "Feb": "feb", "Mar": "mar", "Apr": "abr", "May": "may", "Jun": "jun", "Jul": "jul", "Aug": "ago", "Sep": "sep", "Oct": "oct", "Nov": "nov", "Dec": "dic",
}
