-- ends with 1: endless recursion
-- options: time
local function down()
    return 1 + down()
end
down()
