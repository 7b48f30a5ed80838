using PatchLang.Declarations;

namespace PatchLang.Outputs.Drawings;

/// <summary>Describes channels in words.</summary>
internal static class Channels
{
    /// <summary>Numbers counted from 0, written as a plan's index, which counts from 1: <c>[1..4, 7]</c>.</summary>
    public static string Index(IEnumerable<int> channels)
    {
        var parts = new List<string>();
        var (first, last) = (-1, -2);
        foreach (var channel in channels.Order())
        {
            if (channel == last) continue;
            if (channel != last + 1)
            {
                Close();
                first = channel;
            }
            last = channel;
        }
        Close();
        return $"[{string.Join(", ", parts)}]";

        void Close()
        {
            if (first >= 0) parts.Add(first == last ? $"{first + 1}" : $"{first + 1}..{last + 1}");
        }
    }

    /// <summary>
    /// A socket's channels on a side as a plan writes them: <c>mic[1..4]</c>, or just <c>madi</c> for all channels of a single connector.
    /// </summary>
    public static string On(Socket socket, Side side, IReadOnlyCollection<int> channels)
    {
        var count = socket.CountOn(side);
        var isWhole = count <= socket.PerConnector(side) || socket.Format is { Joins: Joining.Switched };
        return isWhole || channels.Count == 0 ? socket.Name : socket.Name + Index(channels);
    }

    /// <summary>The channels on some connectors of a socket.</summary>
    public static List<int> OfConnectors(Socket socket, Side side, IEnumerable<int> connectors)
    {
        var (per, count) = (socket.PerConnector(side), socket.CountOn(side));
        return [.. connectors.SelectMany(c => Enumerable.Range(c * per, per)).Where(c => c < count)];
    }
}
