$link = (New-Object -ComObject WScript.Shell).CreateShortcut($env:PLATESIDE_LINK)
$link.TargetPath = $env:PLATESIDE_PROGRAM
$link.Arguments = $env:PLATESIDE_ARGUMENTS
$link.IconLocation = $env:PLATESIDE_ICON
$link.Description = $env:PLATESIDE_ABOUT
$link.Save()
