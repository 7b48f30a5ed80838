using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Library;

/// <summary>Every route of every piece of gear says how long it takes.</summary>
public sealed class LibraryLatencyTests
{
    [Fact]
    public void No_route_of_the_library_is_without_a_latency()
    {
        var missing = new List<string>();
        var routes = 0;
        foreach (var (path, tree, index) in LibraryDeclarations.All(NodeKind.Gear))
        {
            var statement = tree[index].Text.ToString();
            var name = statement.Split(' ', '(')[1];
            var counts = statement[(statement.IndexOf(name, StringComparison.Ordinal) + name.Length)] == '('
                ? "(" + string.Join(", ", statement[..statement.IndexOf(')')].Split(',').Select(_ => "4")) + ")"
                : "";
            var device = Compilation.Create(new SourceText("plan.rig", $"rate 48 kHz\nuse \"{path}\"\nunit one : {name}{counts}\n"), _ => FileReading.Failed(FileProblem.NotFound)).Rig.Devices[0];
            foreach (var route in device.Model.Routes)
                foreach (var leaves in Points(device, route.From, Side.In))
                    foreach (var arrives in Points(device, route.To, Side.Out))
                    {
                        routes++;
                        if (RouteDelay.Of(route, leaves, arrives, out _).Unsettled is { } unsettled) missing.Add(unsettled.Words);
                    }
        }
        routes.Should().BeGreaterThan(100);
        missing.Distinct().Should().BeEmpty();
    }

    private static IEnumerable<GraphPoint> Points(Device device, IEnumerable<RouteEnd> ends, Side side)
    {
        foreach (var end in ends)
            foreach (var socket in device.Model.Sockets)
            {
                if (end.Slot is not null || (end.Socket is { } named && named != socket) || (end.IsAny && socket.IsInner)) continue;
                var at = socket.IsInner ? Side.Inner : side;
                if (socket.Has(at) && socket.CountOn(at) > 0 && (socket.IsInner || socket.Format is not { Time: not TimeTransfer.None, Capacities.IsEmpty: true, Joins: Joining.Shared }))
                    yield return new GraphPoint(device, socket, at, end.Channels.IsEmpty ? 0 : end.Channels[0].First);
            }
    }
}
