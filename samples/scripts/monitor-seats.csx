// A monitor rig for as many performers as a list has: a personal mixer for each seat, with the own section up front.
//
//   patchlang script samples/scripts/monitor-seats.csx samples/lantern-quay/lantern-quay.rig samples/scripts/seats.csv --to seats
//   patchlang check seats/monitor-seats.rig
//
// The list has two columns, Name and Section. Each section has a microphone; a hub feeds up to six mixers in a chain, which
// is what it has power for. Every statement is read as it is made: a name that can't be one stops the script at its line.

const int MixersOfHub = 6;
const int MostSections = 16;

var list = Argument(0, "a list of seats, a CSV file with the columns Name and Section,");
var seats = ReadRows(list);
if (seats.Count == 0) throw new ReportException($"{list} has no seats");
if (!seats[0].ContainsKey("Name") || !seats[0].ContainsKey("Section")) throw new ReportException($"{list} has no columns Name and Section");
var sections = seats.Select(s => s["Section"]).Distinct().ToList();
if (sections.Count > MostSections) throw new ReportException($"{list} has {sections.Count} sections; a hub takes {MostSections} from the network");

var names = new PlanNames();
var hubs = (seats.Count + MixersOfHub - 1) / MixersOfHub;

var plan = new PlanWriter();
plan.Comment($"The monitors of {seats.Count} seats, written by monitor-seats.csx from {Path.GetFileName(list)}.\nCaution: earphones off or muted until every mix is checked, and levels set from the bottom.");
plan.Rig($"{Rig.Name}: {seats.Count} seats");
plan.Rate(Rig.Rate);
plan.Use("library/stage.rig");
plan.Use("library/ears.rig");

// ---- what stands where ----

var rack = plan.Unit("rack", new("StageRack", MostSections, 0)).Labels("Stage rack");
var hub = plan.Unit("hub", "EarsHub").Row(1..hubs).Labels([.. Enumerable.Range(1, hubs).Select(h => $"Monitor hub {h}")]).Fill("slot_a", "NetInput16");
var seatNames = seats.Select(s => names.Next(s["Name"])).ToList();
var titles = seats.Select(s => $"{s["Name"]}, {s["Section"].ToLowerInvariant()}").ToList();
var mixer = plan.Unit("mixer", "PersonalMixer").RowNamed([.. seatNames]).Labels([.. titles]);

plan.Network("stage", "aes67").Join(rack["net"], hub["slot_a"]["net"]).Latency(1.ms).Link(1.Gbit);
for (var seat = 0; seat < seats.Count; seat++)
{
    var (ofHub, inChain) = (seat / MixersOfHub + 1, seat % MixersOfHub);
    var from = inChain == 0 ? hub[ofHub]["chain"] : mixer.Named(seatNames[seat - 1])["next"];
    plan.Cable(from, mixer.Named(seatNames[seat])["chain"]).Over("utp").Length(inChain == 0 ? 15.m : 3.m).Label($"C{ofHub}.{inChain + 1}");
}

// ---- who gives the time ----

plan.Timekeeper(rack, hub[1]["slot_a"]);
plan.Follow(hub, "slot_a");
plan.Follow(hub["slot_a"], "net");

// ---- what is heard ----

plan.Comment("A microphone for each section.");
var feeds = new Dictionary<string, FeedWriter>();
foreach (var section in sections)
    feeds.Add(section, plan.Feed(names.Next(section), rack["mic"][feeds.Count + 1]).Labels(section));
PlanPath all = plan.Bundle("sections", [.. sections.Select(s => (PlanOrigin)feeds[s])]);

plan.Comment("Down the chains: every mixer gets every section, and passes it on.");
for (var seat = 0; seat < seats.Count; seat++)
{
    var here = mixer.Named(seatNames[seat])["chain"][1..sections.Count];
    var chain = plan.Feed($"at_{seatNames[seat]}", seat % MixersOfHub == 0 ? all : PlanPath.Of($"at_{seatNames[seat - 1]}")).Row(1..sections.Count);
    if (seat % MixersOfHub == 0)
    {
        var its = hub[seat / MixersOfHub + 1];
        chain.To(its["slot_a"]["net"][1..sections.Count], its["chain"][1..sections.Count]);
    }
    chain.To(here);
}

plan.Comment("Each performer's mix: the own section as it is, everybody else behind it.");
for (var seat = 0; seat < seats.Count; seat++)
{
    var heard = PlanPath.Of($"at_{seatNames[seat]}");
    var own = sections.IndexOf(seats[seat]["Section"]) + 1;
    var members = new List<PlanOrigin> { heard[own].Gain(0.dB) };
    if (own > 1) members.Add(heard[1..(own - 1)].Gain(-9.dB));
    if (own < sections.Count) members.Add(heard[(own + 1)..sections.Count].Gain(-9.dB));
    plan.Feed($"mix_{seatNames[seat]}", PlanOrigin.Sum([.. members])).Sides("L", "R").Labels($"{titles[seat]}: own mix")
        .To(mixer.Named(seatNames[seat])["own"][1..2], mixer.Named(seatNames[seat])["phones"][1..2]).Performer(seatNames[seat]);
}

plan.Comment("Nobody waits for the own sound.");
for (var seat = 0; seat < seats.Count; seat++) plan.ExpectLatency(PlanPath.Of($"mix_{seatNames[seat]}"), Comparison.AtMost, 8.ms);

Output.Plan("monitor-seats.rig", plan);
Console.WriteLine($"{seats.Count} seats, {hubs} hubs, {sections.Count} sections.");
