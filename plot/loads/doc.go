// Package loads plans what does not fit a machine at once or lies on one cloth many
// times: where the copies of a kit lie on a width of cloth ([Lay]), which of them are
// drawn in one laying of the cloth on the machine ([Divide]), and in which order
// ([Tour]).
//
// A load is one laying of cloth on the machine. A piece is what one copy takes of the
// cloth, the cloth round it included; it is counted in channels, so that every cut lies
// in a channel.
//
// Everything is a pure function. The package knows no designs, files or machines; what
// is drawn in a load is the business of package plot.
package loads
