using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>What a path names: channels of one socket, on one device or a row of devices alike.</summary>
internal readonly struct Target(ImmutableArray<Device> row, Socket socket, ImmutableArray<(int First, int Count)> ranges, TextSpan span)
{
    /// <summary>The devices, unit by unit.</summary>
    public ImmutableArray<Device> Row { get; } = row;

    public Socket Socket { get; } = socket;

    /// <summary>Channels from 0, as indexed; default where the path has no index and means all.</summary>
    public ImmutableArray<(int First, int Count)> Ranges { get; } = ranges;

    /// <summary>The path, from the statement's start.</summary>
    public TextSpan Span { get; } = span;

    public bool IsIndexed => !Ranges.IsDefault;

    /// <summary>Whether it names all channels of all units alike: how many those are it does not say.</summary>
    public bool IsWholeRow => !IsIndexed && Row[0].Unit.Elements.IsIndexed && Row.Length == Row[0].Unit.Elements.Count;

    /// <summary>The channels it names on each device, on a side.</summary>
    public int CountOn(Side side)
    {
        if (Ranges.IsDefault) return Socket.CountOn(side);
        var count = 0;
        foreach (var range in Ranges) count += range.Count;
        return count;
    }

    /// <summary>All the channels it names, on a side.</summary>
    public int WidthOn(Side side) => Row.Length * CountOn(side);

    /// <summary>The device and the channel at a place in the whole width.</summary>
    public (Device Device, int Channel) At(int place, Side side)
    {
        var device = Row[0];
        if (Row.Length > 1)
        {
            var (row, rest) = Math.DivRem(place, CountOn(side));
            (device, place) = (Row[row], rest);
        }
        if (Ranges.IsDefault) return (device, place);
        foreach (var (first, count) in Ranges)
        {
            if (place < count) return (device, first + place);
            place -= count;
        }
        throw new ArgumentOutOfRangeException(nameof(place));
    }
}
