// A sheet for each performer: what is in the mix, where it is plugged in, and how loud it was planned.
//
//   patchlang script samples/scripts/performer-sheets.csx samples/lantern-quay/lantern-quay.rig --to sheets
//
// Print performers.md, or send performers.xlsx round: there each has a worksheet of their own.

// What somebody hears on purpose, and the audience does not.
var mixes = Rig.Feeds.Where(f => f.Origin == FeedOrigin.Mix && !f.IsPublic).ToList();

var sheets = new List<Table>();
foreach (var listener in Rig.Units.Where(u => u.IsListening))
{
    var sheet = new Table(listener.Title, "Signal", "Plugged in at", "Gain", "Act", TableColumn.WriteIn("Wish"));
    foreach (var mix in mixes.Where(m => m.HeardBy.Any(c => c.Unit == listener)))
    {
        var members = mix.Members.Where(m => m.Signal is not null).DistinctBy(m => (m.Signal!.Name, m.Gain));
        foreach (var member in members)
        {
            // A gain that is not written is set by ear on the day: that is not 0 dB.
            var gain = member.Gain is { } written ? written.ToString() : "by ear";
            sheet.AddFrom(member.Signal!, member.Signal!.Title, member.Signal.Origins.FirstOrDefault(), gain, mix.During.IsAllDay ? "all day" : mix.During);
        }
    }
    if (sheet.Count > 0) sheets.Add(sheet);
}

Output.Workbook("performers.xlsx", sheets);
Output.Markdown("performers.md", "What performers hear", sheets);
Console.WriteLine($"{sheets.Count} performers.");
