// Jobs of the stories, as their makers would write them.

export const EARRINGS = `title = "Wholesale discs"
pieces = 80

[sheet]
metal = "sterling-silver"
thickness = 0.7
price_per_gram = 0.9

[outline]
shape = "circle"
diameter = 22
border = 2

[pattern]
name = "hexagon"
pitch = 4
bridge = 1

[saw]
blade = "3/0"

[rates]
per_hour = 40
saw = 12
per_hole = 1.2
filing = 0.8
handling = 6
`;

export const STONE = `title = "Stone in the middle"
skill = "practised"

[sheet]
metal = "sterling-silver"
thickness = 0.8

[outline]
shape = "circle"
diameter = 34
border = 2.5

[pattern]
name = "hexagon"
pitch = 4.4
bridge = 1.2

[[keep_solid]]
name = "bail tab"
shape = "circle"
diameter = 5
at = [0, 14]

[[hole]]
name = "bail hole"
diameter = 2.0
at = [0, 14]

[construction]
bezel = { stone = 10, thickness = 0.3, height = 4, ledge = 1.0, window = true }
`;

export const DROPS = `title = "Rain"
skill = "practised"
pair = true

[sheet]
metal = "brass"
thickness = 0.8

[outline]
shape = "teardrop"
width = 22
height = 36
tip_radius = 1
border = 2.4

[pattern]
name = "diamond"
pitch = 5
bridge = 1.3

[[hole]]
name = "hook hole"
diameter = 1.5
at = [0, 13]
`;

export const THIN = `title = "Bridges too thin"
skill = "practised"

[sheet]
metal = "copper"
thickness = 0.8

[outline]
shape = "circle"
diameter = 30
border = 2.4

[pattern]
name = "hexagon"
pitch = 4.2
bridge = 0.8
at_border = "trim"

[limits]
bridge = 0.9
`;

export const RIMMED = `title = "Disc on a wall"
skill = "practised"

[sheet]
metal = "copper"
thickness = 0.8

[outline]
shape = "circle"
diameter = 30
border = 2.5

[pattern]
name = "triangle"
pitch = 6.2
bridge = 1.2
at_border = "trim"

[construction]
rim = { height = 4, thickness = 0.5, sits = "round-edge" }
back = { thickness = 0.7, overhang = 1.0 }
`;

export const PLAIN = `# kept through every edit
title = "Reed disc"
skill = "practised"

[sheet]
metal = "copper"     # from the drawer
thickness = 0.8

[outline]
shape = "circle"
diameter = 36
border = 2.5

[pattern]
name = "hexagon"
pitch = 6
bridge = 1.4

[[keep_solid]]
name = "bail tab"
shape = "circle"
diameter = 6
at = [0, 14]

[[hole]]
name = "bail hole"
diameter = 1.8
at = [0, 14]
`;
