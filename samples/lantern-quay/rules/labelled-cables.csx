// rule: labelled-cables
/// Every cable that is longer than ten metres says what it is.
///
/// What lies across a stage is pulled out by somebody who did not lay it. A label, or a way in a multicore, tells
/// them what it was.

foreach (var cable in Rig.Cables.Where(c => c.Length > 10.m && c.Label is null && c.Loom is null))
    Finding(cable, $"{cable} is {cable.Length} long and has no label", Severity.Note);
