// rule: spare-vocal
/// Whoever sings has a spare.
///
/// A microphone that dies in a verse is replaced by the one beside it, at once. So in each act there has to be
/// a free line at the stage for every four voices, one at least.
///
/// A voice is a feed that says `voice` or whose label has "vocal" or "backing" in it.

const int voicesForOneSpare = 4;

var lines = Rig.UnitsOf("StageSplit").SelectMany(u => u.Port("stage").Channels).ToList();
foreach (var acts in ActsOrDay())
{
    var voices = Rig.Sources.Where(s => s.During.Overlaps(acts) && IsVoice(s)).ToList();
    if (voices.Count == 0) continue;
    var wanted = Math.Max(1, (voices.Count + voicesForOneSpare - 1) / voicesForOneSpare);
    var spare = lines.Count(l => !l.Carries.Any(s => s.During.Overlaps(acts)));
    if (spare < wanted)
        Finding(voices[0], $"{voices.Count} sing {When(acts)}, and {spare} lines of the split are left; {wanted} are wanted as spares");
}

bool IsVoice(Signal signal) =>
    signal.Feed.IsVoiceOrWind || signal.Title.Contains("vocal", StringComparison.OrdinalIgnoreCase) || signal.Title.Contains("backing", StringComparison.OrdinalIgnoreCase);

// Each act by itself; a plan without acts is one day.
IEnumerable<During> ActsOrDay() => Rig.Acts.Count == 0 ? [Rig.AllDay] : Rig.Acts.Select(a => a.During);

string When(During acts) => acts.IsAllDay ? "all day" : $"during {acts}";
