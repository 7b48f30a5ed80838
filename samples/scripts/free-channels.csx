// Every channel that is free, as a table to be filtered and written into.
//
//   patchlang script samples/scripts/free-channels.csx samples/lantern-quay/lantern-quay.rig --to lists
//
// Behind the plan may stand the name of one unit: then only its channels are told.

var only = Arguments.Count > 0 ? Arguments[0] : null;
if (only is not null && Rig.Unit(only) is null) throw new ReportException($"the plan has no unit {only}");

var free = new Table("Free channels", "Unit", "Port", "Channel", "Carries", "Kept for", TableColumn.WriteIn("Taken for"));
foreach (var port in Rig.Ports.Where(p => p.Kind != PortKind.Bus))
{
    if (only is not null && port.Unit.Name != only) continue;
    // A channel that is kept free is listed with the reason: nobody takes it unasked.
    foreach (var channel in port.Channels.Where(c => c.IsFree || (c.Reserved is not null && !c.IsUsed)))
        free.Add(port.Unit.Title, port.LocalName, channel.Number, port.Format ?? "inside", channel.Reserved?.Why);
}

Output.Csv("free-channels.csv", free);
Console.WriteLine($"{free.Count} channels are free.");
