Dear Ada,
please find the pattern with this letter.
Yours, Tilda
