using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>Resolves the clocks and sources that <c>follow</c> and <c>timekeeper</c> statements name.</summary>
internal sealed class ClockBinder(Foundation foundation, Rig rig, PathResolver paths)
{
    public void Bind()
    {
        foreach (var follow in foundation.Follows)
        {
            var acts = foundation.ActsOf(follow.During, follow.File, follow.Statement, rig.Findings);
            paths.CheckReach(follow, acts, "follow", [follow.Clock], rig.Findings);
            foreach (var clock in ClocksOf(follow.Clock, follow, acts))
            {
                if (SourceOf(clock, follow) is not { } source)
                {
                    rig.UnknownClocks.UnionWith(ClocksOf(follow.Clock, follow, acts));
                    break; // reported once for a whole row
                }
                Follow(new Following(clock, source, acts & clock.Device.Acts, follow));
            }
        }
        foreach (var keeper in foundation.Timekeepers)
        {
            var acts = foundation.ActsOf(keeper.During, keeper.File, keeper.Statement, rig.Findings);
            paths.CheckReach(keeper, acts, "timekeeper", [keeper.Clock], rig.Findings);
            if (Single(keeper.Clock, keeper, acts) is not { } clock)
            {
                rig.HasBrokenTimekeepers = true;
                continue;
            }
            var standbys = keeper.Standbys.Select(s => Single(s, keeper, acts)).OfType<Clock>().ToImmutableArray();
            rig.Timekeepers.Add(new Timekeeping(clock, standbys, acts & clock.Device.Acts, keeper));
        }
    }

    private void Follow(Following following)
    {
        if (rig.Followings.Find(f => f.Clock == following.Clock && f.Acts.Meets(following.Acts)) is { } other)
        {
            rig.Findings.Add(new Draft(ClockFindings.TwoSources(following.Clock.Name), following.Statement.At(following.Statement.Clock.Span))
            {
                Related = [(Anchors.OpenerOf(other.Statement.Statement), "the other source")],
                Fixes = following.Acts != other.Acts || rig.DevicesOf(following.Clock.Device.Unit).Length != 1 ? []
                    : Words(following.Source) == Words(other.Source) ? [Only(other, following)] : [Only(other, following), Only(following, other)],
            });
            rig.UnknownClocks.Add(following.Clock);
            return;
        }
        rig.Followings.Add(following);
    }

    private static FixDraft Only(Following kept, Following other) =>
        new($"follow {Words(kept.Source)} alone", false, Anchors.WholeOf(other.Statement.Statement), "");

    private Clock? Single(PathExpression path, PlanStatement statement, ActSet acts)
    {
        var clocks = ClocksOf(path, statement, acts);
        if (clocks.Count <= 1) return clocks.Count == 0 ? null : clocks[0];
        rig.Findings.Add(ClockFindings.OneKeeper(clocks.Count), statement.At(path.Span));
        return null;
    }

    /// <summary>The clocks a path names: the only clock of a unit or card, or one by name, for every device of a row.</summary>
    private List<Clock> ClocksOf(PathExpression path, PlanStatement statement, ActSet acts)
    {
        var clocks = new List<Clock>();
        foreach (var part in ActClasses.Split(acts, (paths.Candidates(path, statement.File)?.All ?? []).Select(s => s.Acts)))
            Add(part);
        return clocks;

        void Add(ActSet part)
        {
            var bag = rig.Findings;
            var start = paths.Start(path, statement.File, statement.Statement, part, bag);
            if (start.Symbol is not UnitSymbol unit) return;
            var row = paths.Row(unit, path.Steps[start.Steps - 1], statement.Statement, bag);
            var next = start.Steps;
            while (!row.IsEmpty && next < path.Steps.Length && PathResolver.IntoSlot(row, path.Steps[next], statement.Statement, bag) is { } cards)
            {
                row = cards;
                next++;
            }
            if (row.IsEmpty) return;
            var model = row[0].Model;
            var index = 0;
            if (next < path.Steps.Length)
            {
                var step = path.Steps[next];
                if (model.ClockOf(step.Name) is not { } named)
                {
                    bag.Add(NameFindings.NoClockOf(row[0].Name, step.Name, Nearest.To(step.Name, model.Clocks.Select(c => c.Name))), statement.At(step.NameSpan));
                    return;
                }
                index = named.Index;
            }
            else if (model.Clocks.Length != 1)
            {
                bag.Add(new Draft(
                    model.Clocks.IsEmpty ? ClockFindings.NoClockAt(row[0].Name, row[0].Host is not null) : NameFindings.WhichClock(row[0].Name, [.. model.Clocks.Select(c => c.Name)]),
                    statement.At(path.Span)) { FollowsFrom = model.Clocks.IsEmpty ? [model.Gear.Lacks("clock")] : [] });
                foreach (var device in row)
                    foreach (var each in model.Clocks) rig.UnknownClocks.Add(rig.Clocks[device.FirstClock + each.Index]);
                return;
            }
            foreach (var device in row) clocks.Add(rig.Clocks[device.FirstClock + index]);
        }
    }

    private ClockSource? SourceOf(Clock clock, FollowStatement follow)
    {
        var step = follow.Source.Steps[0];
        var known = clock.Model.From.Select(Words).Distinct().ToList();
        var at = follow.At(follow.Source.Span);
        if (follow.Source.Steps.Length == 1)
        {
            var channel = step.Index?.Items is [{ IsName: false } only] ? only.From : (int?)null;
            foreach (var source in clock.Model.From)
            {
                var matches = source.Sort switch
                {
                    ClockSourceSort.Internal => step.Name == "internal",
                    ClockSourceSort.Host => step.Name == "host",
                    ClockSourceSort.Slot => step.Name == source.Slot!.Name,
                    _ => step.Name == source.Socket!.Name && (channel is null || source.Channel is null || SameConnector(source.Socket, channel.Value, source.Channel.Value)),
                };
                if (!matches) continue;
                if (source.Sort == ClockSourceSort.Socket && channel > Math.Max(source.Socket!.InCount, 1))
                {
                    if (PathResolver.PastEnd(clock.Device, source.Socket, Side.In, [(channel.Value, channel.Value)], at) is { } draft) rig.Findings.Add(draft);
                    return null;
                }
                return source.Sort == ClockSourceSort.Socket ? source with { Channel = channel ?? source.Channel } : source;
            }
        }
        if (clock.Device.Model.Gear.Statement.IsClear)
            rig.Findings.Add(new Draft(ClockFindings.NotASourceOf(clock.Name, Written(follow.Source), known), at)
            {
                Related = [(clock.Device.Model.Gear.Anchor, $"{clock.Device.Model.Gear.Name} is declared here")],
                Fixes = Nearest.To(Written(follow.Source), known) is { } meant ? [new FixDraft($"write `{meant}`", false, at, meant)] : [],
            });
        return null;
    }

    private static bool SameConnector(Socket socket, int left, int right) =>
        (left - 1) / socket.InPerConnector == (right - 1) / socket.InPerConnector;

    private static string Written(PathExpression path) => path.Names;

    /// <summary>A source as a plan writes it.</summary>
    internal static string Words(ClockSource source) => source.Sort switch
    {
        ClockSourceSort.Internal => "internal",
        ClockSourceSort.Host => "host",
        ClockSourceSort.Slot => source.Slot!.Name,
        _ => source.Channel is { } channel ? $"{source.Socket!.Name}[{channel}]" : source.Socket!.Name,
    };
}
