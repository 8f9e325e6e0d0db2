-- ends with 3: an endless loop meets the time limit
while true do
end
