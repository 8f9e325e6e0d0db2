-- A module that requires itself; see require_cycle.lua.
return require("parts.needs_itself")
