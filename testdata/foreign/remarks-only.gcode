(nothing yet)
(to be done)
