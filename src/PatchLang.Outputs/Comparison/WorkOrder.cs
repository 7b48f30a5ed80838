using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Outputs.Sheets;

namespace PatchLang.Outputs.Comparison;

/// <summary>
/// The crew's work, in an order that risks neither ears nor microphones: mute first, then phantom power off, then unplug, fit and plug,
/// then clocks, routes and mixes, and unmute at the very end. The order and the cautions are common practice, no source.
/// </summary>
internal sealed class WorkOrder
{
    private const string Defer = "Local codes and licensed practice decide.";

    private readonly PlanChanges changes;
    private readonly HashSet<string> gone;
    private readonly HashSet<string> goneFeeds;
    private ILookup<(string, bool, string), PlanChange>? heardOf;
    private readonly Dictionary<string, List<Draft>> drafts = new(StringComparer.Ordinal);

    public WorkOrder(PlanChanges changes)
    {
        this.changes = changes;
        gone = [.. changes.Changes.Where(c => (c.Kind is ChangeKind.Unit or ChangeKind.Card || c is { Kind: ChangeKind.NetworkSetting, Aspect: "format" }) && c.IsRemoved).Select(c => c.Subject)];
        goneFeeds = [.. changes.Changes.Where(c => c.Kind == ChangeKind.Signal && c.IsRemoved).Select(c => FeedIn(c.Subject))];
        foreach (var change in changes.Changes) Tell(change);
        AddPhantom();
    }

    public ChangeReport Report()
    {
        var sections = ImmutableArray.CreateBuilder<ReportSection>();
        Add("names", "Called otherwise");
        Add("day", "The day");
        Add("signals", "Signals that come or go");
        if (changes.Changes.Any(IsHeardWhileDone)) sections.Add(Quiet());
        AddWork("phantom_off", "Phantom power off", Cautions.Phantom);
        AddWork("unplug", "Unplug", null);
        AddWork("fit", "Set up and take away", $"Units and cards are fitted with their power off. {Defer}");
        AddWork("plug", "Plug", null);
        AddWork("time", "Networks, rates and clocks", "Everything stays muted: a clock that changes can give a loud click.");
        AddWork("route", "Routes", null);
        AddWork("mix", "Mixes and settings", "Levels from the bottom.");
        AddWork("label", "Labels", null);
        AddWork("phantom_on", "Phantom power on", "Only when everything is plugged, and still muted.");
        if (changes.Changes.Any(IsHeardWhileDone)) sections.Add(Check());
        Add("heard", "What is heard otherwise");
        Add("written", "Written otherwise, and nothing to do");
        Add("found", "Findings that come");
        Add("mended", "Findings that go");
        return new ChangeReport(sections.DrainToImmutable(), Remarks(), Summary());

        void Add(string key, string title)
        {
            if (Lines(key) is { IsEmpty: false } lines) sections.Add(new ReportSection(key, title, IsWork: false, lines));
        }

        void AddWork(string key, string title, string? caution)
        {
            if (Lines(key) is { IsEmpty: false } lines) sections.Add(new ReportSection(key, title, IsWork: true, lines) { Caution = caution });
        }
    }

    private static bool IsHeardWhileDone(PlanChange change) => change.Kind is
        ChangeKind.Unit or ChangeKind.Card or ChangeKind.Source or ChangeKind.Cable or ChangeKind.CableMove or ChangeKind.Join or ChangeKind.NetworkSetting
        or ChangeKind.Rate or ChangeKind.Clock or ChangeKind.ClockRole or ChangeKind.Route or ChangeKind.MixMember or ChangeKind.Phantom
        || change is { Kind: ChangeKind.FeedSetting, Aspect: "mic" };

    private ReportSection Quiet()
    {
        var listeners = changes.Changes.Where(c => c.Kind is ChangeKind.Heard or ChangeKind.Latency or ChangeKind.Level or ChangeKind.Balance)
            .Select(c => UnitIn(c.Subject)).Distinct().Order(NaturalOrder.Instance).ToList();
        var lines = ImmutableArray.Create(new ReportLine("earphones out or muted, wedges and loudspeakers muted", []));
        if (listeners.Count > 0) lines = lines.Add(new ReportLine($"tell those who hear a difference: {Draft.Some(listeners)}", []));
        return new ReportSection("quiet", "Make it quiet", IsWork: true, lines) { Caution = $"{Cautions.Ears} {Defer}" };
    }

    private ReportSection Check()
    {
        var lines = ImmutableArray.CreateBuilder<ReportLine>();
        var signals = changes.Changes.Where(c => !c.IsRemoved && c.Kind is ChangeKind.Source or ChangeKind.Route or ChangeKind.MixMember)
            .SelectMany(c => c.Signals).Distinct().Order(NaturalOrder.Instance).ToList();
        lines.AddRange(Lines("check"));
        if (changes.Changes.Any(c => c.Kind is ChangeKind.Clock or ChangeKind.ClockRole or ChangeKind.Rate or ChangeKind.Join or ChangeKind.Leader))
            lines.Add(new ReportLine("every clock reads locked, and error counters stand still for a minute", []));
        if (signals.Count > 0) lines.Add(new ReportLine($"listen from source to ear, with levels at the bottom: {Draft.Some(signals)}", []));
        lines.Add(new ReportLine("unmute one by one, and bring levels up from the bottom", []));
        return new ReportSection("check", "Check, then unmute", IsWork: true, lines.DrainToImmutable());
    }

    private ImmutableArray<ReportLine> Lines(string key)
    {
        if (!drafts.TryGetValue(key, out var list)) return [];
        return Draft.Lines(list);
    }

    private void Say(string key, PlanChange change, string sentence, string? who, int rank, params string[] parts) =>
        (drafts.TryGetValue(key, out var list) ? list : drafts[key] = []).Add(new Draft(sentence, who, parts) { Change = change, Rank = rank, Unit = change.Unit });

    private void Tell(PlanChange c)
    {
        var (was, now) = (c.Was ?? "", c.Now ?? "");
        // What goes along with its unit is not listed separately.
        if (c.IsRemoved && c.Kind is ChangeKind.Rate or ChangeKind.Label or ChangeKind.UnitSetting or ChangeKind.Clock or ChangeKind.ClockRole or ChangeKind.Card && IsGone(c)) return;
        switch (c.Kind)
        {
            case ChangeKind.Name: Say("names", c, "{2} {1} is now called {0}", null, 0, now, was, c.Aspect); break;
            case ChangeKind.Act: TellAct(c, was, now); break;
            case ChangeKind.Signal: Say("signals", c, c.IsAdded ? "{0} comes" : "{0} goes", c.Signal == c.Subject ? null : c.Signal, c.IsAdded ? 1 : 0, c.Subject); break;
            case ChangeKind.Unit:
                if (c.IsAdded) Say("fit", c, "set up {0}, a {1}", null, 1, c.Subject, now);
                else if (c.IsRemoved) Say("fit", c, "take {0} away, a {1}", null, 0, c.Subject, was);
                else Say("fit", c, "exchange {0}: a {1} for a {2}", null, 1, c.Subject, was, now);
                break;
            case ChangeKind.Card:
                if (c.IsAdded) Say("fit", c, "put a {1} into {0}", null, 2, c.Subject, now);
                else if (c.IsRemoved) Say("fit", c, "take the {1} out of {0}", null, 0, c.Subject, was);
                else Say("fit", c, "in {0}, exchange the {1} for a {2}", null, 2, c.Subject, was, now);
                break;
            case ChangeKind.UnitSetting: TellUnitSetting(c, was, now); break;
            case ChangeKind.Source: TellSource(c, was, now); break;
            case ChangeKind.Cable:
                if (!c.IsAdded) Say("unplug", c, "unplug the cable {0} ({1})", null, 1, c.Subject, was);
                if (!c.IsRemoved) Say("plug", c, "plug a cable {0} ({1})", null, 0, c.Subject, now);
                break;
            case ChangeKind.CableMove:
                Say("unplug", c, "unplug the cable {0} ({1})", null, 1, was, c.Subject);
                Say("plug", c, "plug the same cable {0} ({1}; it was {2})", null, 0, now, c.Subject, was);
                break;
            case ChangeKind.Join:
                if (c.IsAdded) Say("time", c, "join {0} to network {1}", null, 1, c.Subject, c.Aspect);
                else Say("time", c, "take {0} off network {1}", null, 0, c.Subject, c.Aspect);
                break;
            case ChangeKind.NetworkSetting when c.Aspect == "format" && c.IsAdded: Say("time", c, "set up network {0} ({1})", null, 0, c.Subject, now); break;
            case ChangeKind.NetworkSetting when c.Aspect == "format" && c.IsRemoved: Say("time", c, "take network {0} down ({1})", null, 3, c.Subject, was); break;
            case ChangeKind.NetworkSetting when c.IsRemoved && gone.Contains(c.Subject): break;
            case ChangeKind.NetworkSetting when c.IsAdded: Say("time", c, "network {0}: {1} {2}", null, 2, c.Subject, c.Aspect, now); break;
            case ChangeKind.NetworkSetting: Say("time", c, $"network {{0}}: {{1}} {Step(c, 2)}", null, 2, [c.Subject, c.Aspect, .. Values(c)]); break;
            case ChangeKind.Rate: Say("time", c, c.IsAdded ? "set the rate to {0}" : "set the rate to {0} (it was {1})", c.Subject, 3, now, was); break;
            case ChangeKind.Clock:
                if (c.IsAdded) Say("time", c, "{0}: " + Following(now), null, 4, c.Subject);
                else Say("time", c, $"{{0}}: {Following(now)} (it did {(was == "internal" ? "run free" : $"follow {Braced(was)}")})", null, 4, c.Subject);
                break;
            case ChangeKind.ClockRole:
                Say("time", c, c.IsRemoved ? "{0} is no longer the {2}" : c.IsAdded ? "make {0} the {1}" : "make {0} the {1} (it was the {2})", null, 5, c.Subject, Role(now), was);
                break;
            case ChangeKind.Leader:
                if (!c.IsRemoved) Say("check", c, c.IsAdded ? "network {0} is led by {1}" : "network {0} is led by {1} (it was by {2})", null, 0, c.Subject, now, was);
                break;
            case ChangeKind.Route:
                Say("route", c, c.IsRemoved ? "{0} takes nothing (it took {2})" : c.IsAdded ? "{0} takes {1}" : "{0} takes {1} (it took {2})", c.Signal, 0, c.Subject, now, was);
                break;
            case ChangeKind.MixMember:
                if (c.IsAdded) Say("mix", c, "{0}: bring in {1}, {2}", c.Signal, 1, c.Subject, c.Aspect, now);
                else if (c.IsRemoved) Say("mix", c, "{0}: take out {1}", c.Signal, 0, c.Subject, c.Aspect);
                else Say("mix", c, "{0}: set {1} to {2} (it was {3})", c.Signal, 1, c.Subject, c.Aspect, now, was);
                break;
            case ChangeKind.FeedSetting: TellFeedSetting(c); break;
            case ChangeKind.Label:
                if (c.Aspect == "signal" && c.IsRemoved) break; // it goes with its signal
                Say("label", c, c.IsRemoved ? "{0}: take the label {2} off" : c.IsAdded ? "{0}: {1}" : "{0}: {1} (it was {2})", null, c.Aspect == "plan" ? 0 : 1, c.Subject, Quoted(now), Quoted(was));
                break;
            case ChangeKind.Reserve:
                Say("label", c, c.IsRemoved ? "{0} is no longer kept free ({2})" : "keep {0} free: {1}", null, 2, c.Subject, now, was);
                break;
            case ChangeKind.Heard: break; // below, together with everything else at this listener
            case ChangeKind.Latency:
                if (!c.IsAdded && !c.IsRemoved) Say("heard", c, "{0}: sound arrives {1} after it left its source (it was {2})", null, 2, c.Subject, now, was);
                break;
            case ChangeKind.Level:
                if (!c.IsAdded && !c.IsRemoved) Say("heard", c, "{0}: the level is {1} (it was {2})", null, 3, c.Subject, now, was);
                break;
            case ChangeKind.Balance: Say("heard", c, "{0}: another balance, set at {1}", null, 4, c.Subject, c.Aspect); break;
            case ChangeKind.Declaration: Say("written", c, c.IsAdded ? "{0} is new" : c.IsRemoved ? "{0} is gone" : "{0} is described otherwise", null, 0, c.Subject); break;
            case ChangeKind.Promise: Say("written", c, c.IsAdded ? "promised now: {0}" : c.IsRemoved ? "no longer promised: {0}" : "{0} ({1}, and was {2})", null, c.IsAdded ? 1 : 2, c.Subject, now, was); break;
            case ChangeKind.Finding: Say(c.IsAdded ? "found" : "mended", c, "{1} {0}: {2}", null, 0, c.Aspect, c.IsAdded ? now : was, c.Subject); break;
        }
        if (c.Kind == ChangeKind.Heard) TellHeard(c);
    }

    /// <summary>All sources that a listener gains, or loses, in the same acts make one line.</summary>
    private void TellHeard(PlanChange change)
    {
        heardOf ??= changes.Changes.Where(c => c.Kind == ChangeKind.Heard).ToLookup(KeyOf);
        var all = heardOf[KeyOf(change)];
        if (all.First() != change) return;
        Say("heard", change, change.IsAdded ? "{0} also hears {1}" : "{0} no longer hears {1}", null, change.IsAdded ? 1 : 0, change.Subject, string.Join(", ", all.Select(c => c.Now ?? c.Was!).Distinct().Order(NaturalOrder.Instance)));
    }

    private static (string, bool, string) KeyOf(PlanChange change) => (change.Subject, change.IsAdded, string.Join(' ', change.Acts));

    private void TellAct(PlanChange c, string was, string now)
    {
        if (c.Aspect.Length > 0) Say("day", c, c.IsRemoved ? "act {0} comes after none" : c.IsAdded ? "act {0} comes after {1}" : "act {0} comes after {1} (it came after {2})", null, 1, c.Subject, now, was);
        else Say("day", c, c.IsAdded ? "act {0} is new: {1}" : c.IsRemoved ? "act {0} is dropped: {2}" : "act {0} is labelled {1} (it was {2})", null, 0, c.Subject, now, was);
    }

    private void TellUnitSetting(PlanChange c, string was, string now)
    {
        if (c.Aspect == "place") Say("fit", c, c.IsRemoved ? "{0}: no place is written any more (it was {2})" : c.IsAdded ? "{0} stands at: {1}" : "move {0} to: {1} (it stood at: {2})", null, 1, c.Subject, now, was);
        else Say("fit", c, $"{{0}}: {{1}} {Step(c, 2)}", null, 3, [c.Subject, c.Aspect, .. Values(c)]);
    }

    private void TellSource(PlanChange c, string was, string now)
    {
        if (c.Aspect == "played")
        {
            Say("route", c, c.IsRemoved ? "{0} is no longer played" : c.IsAdded ? "play from {0}" : "play from {0} (it was from {1})", c.Signal, 0, c.IsRemoved ? was : now, was);
            return;
        }
        if (!c.IsAdded) Say("unplug", c, "unplug {0}", c.Signal, 0, was);
        if (!c.IsRemoved) Say("plug", c, c.IsAdded ? "plug into {0}" : "plug into {0}, from {1}", c.Signal, 1, now, was);
    }

    private void TellFeedSetting(PlanChange c)
    {
        if (c.IsRemoved && goneFeeds.Contains(c.Subject)) return;
        if (c.Aspect is "private" or "public")
        {
            Say("written", c, c.IsRemoved ? "{0} is no longer {1}" : "{0} is {1} now", null, 0, c.Subject, c.Aspect);
            return;
        }
        var key = c.Aspect switch { "mic" or "stand" => "plug", "note" => "written", _ => "mix" };
        var name = c.Aspect switch { "mic" => "microphone or box", "gain_by" => "gain and phantom set by", var other => other };
        Say(key, c, $"{{0}}: {{1}} {Step(c, 2)}", null, 2, [c.Subject, name, .. Values(c)]);
    }

    /// <summary>Switches phantom power off wherever a line that carries it is touched, and on again where it is needed.</summary>
    private void AddPhantom()
    {
        foreach (var c in changes.Changes)
        {
            if (c.Kind == ChangeKind.Phantom) Say(c.IsAdded ? "phantom_on" : "phantom_off", c, "{0}", null, 0, c.Subject);
            foreach (var supply in c.PhantomBefore) Say("phantom_off", c, "{0}", c.Signal, 0, supply);
            foreach (var supply in c.PhantomAfter) Say("phantom_on", c, "{0}", c.Signal, 0, supply);
        }
    }

    private bool IsGone(PlanChange c)
    {
        for (var name = c.Subject; name.Length > 0; name = name[..Math.Max(0, name.LastIndexOf('.'))])
            if (gone.Contains(name) && (name != c.Subject || c.Kind != ChangeKind.Card)) return true;
        return false;
    }

    private static string Following(string source) => source == "internal" ? "let it run free" : $"let it follow {Braced(source)}";

    private static string Role(string role) => role == "timekeeper" ? "timekeeper (clock leader)" : role;

    private static string Quoted(string text) => $"\"{text}\"";

    private static string Braced(string text) => text.Replace("{", "{{", StringComparison.Ordinal).Replace("}", "}}", StringComparison.Ordinal);

    private static string FeedIn(string signal) => signal.IndexOf('[', StringComparison.Ordinal) is > 0 and var bracket ? signal[..bracket] : signal;

    private static string UnitIn(string point) => point.IndexOf('.', StringComparison.Ordinal) is > 0 and var dot ? point[..dot] : point;

    /// <summary>The change from one value to another, as placeholders numbered from the given one.</summary>
    private static string Step(PlanChange c, int gap) =>
        c.IsAdded ? $"{{{gap}}} (nothing was written)" : c.IsRemoved ? $"is no longer written (it was {{{gap}}})" : $"{{{gap}}} (it was {{{gap + 1}}})";

    private static string[] Values(PlanChange c) => c.IsAdded ? [c.Now!] : c.IsRemoved ? [c.Was!] : [c.Now!, c.Was!];

    private ImmutableArray<string> Remarks()
    {
        var remarks = ImmutableArray.CreateBuilder<string>();
        foreach (var (plan, word) in (ReadOnlySpan<(Compilation, string)>)[(changes.Old, "old"), (changes.New, "new")])
            if (plan.Findings.Count(f => f.Severity == Severity.Error) is > 0 and var errors)
                remarks.Add($"The {word} plan has {(errors == 1 ? "an error" : $"{errors} errors")}: what could not be made out there is not compared.");
        foreach (var word in (ReadOnlySpan<string>)["old", "new"])
        {
            var names = changes.Unknown.Where(u => u.IsInNew == (word == "new")).Select(u => u.Name).ToList();
            if (names.Count > 0) remarks.Add($"Not known in full in the {word} plan: {string.Join(", ", names)}.");
        }
        return remarks.DrainToImmutable();
    }

    private string Summary()
    {
        if (changes.AreNone) return "Nothing changes.";
        var counts = new List<string>();
        Count("source is plugged otherwise", "sources are plugged otherwise", ChangeKind.Source);
        Count("cable", "cables", ChangeKind.Cable, ChangeKind.CableMove);
        Count("unit or card", "units and cards", ChangeKind.Unit, ChangeKind.Card);
        Count("network joint or setting", "network joints and settings", ChangeKind.Join, ChangeKind.NetworkSetting);
        Count("rate", "rates", ChangeKind.Rate);
        Count("clock", "clocks", ChangeKind.Clock, ChangeKind.ClockRole);
        Count("route", "routes", ChangeKind.Route);
        Count("setting in a mix", "settings in mixes", ChangeKind.MixMember);
        Count("phantom switch", "phantom switches", ChangeKind.Phantom);
        Count("label", "labels", ChangeKind.Label);
        Count("name", "names", ChangeKind.Name);
        Count("act", "acts", ChangeKind.Act);
        var heard = changes.Changes.Where(c => c.Kind is ChangeKind.Heard or ChangeKind.Latency or ChangeKind.Level or ChangeKind.Balance).Select(c => c.Subject).Distinct().Count();
        if (heard > 0) counts.Add(heard == 1 ? "one listening point hears a difference" : $"{heard} listening points hear a difference");
        var (come, go) = (changes.Changes.Count(c => c.Kind == ChangeKind.Finding && c.IsAdded), changes.Changes.Count(c => c.Kind == ChangeKind.Finding && c.IsRemoved));
        if (come > 0) counts.Add(come == 1 ? "one finding comes" : $"{come} findings come");
        if (go > 0) counts.Add(go == 1 ? "one goes" : $"{go} go");
        return counts.Count == 0 ? "Nothing changes on the rig." : $"Changes: {string.Join(", ", counts)}.";

        void Count(string one, string many, params ReadOnlySpan<ChangeKind> kinds)
        {
            var count = 0;
            foreach (var change in changes.Changes)
                foreach (var kind in kinds)
                    if (change.Kind == kind) count++;
            if (count > 0) counts.Add($"{count} {(count == 1 ? one : many)}");
        }
    }
}
