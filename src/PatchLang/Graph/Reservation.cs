using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Graph;

/// <summary>Channels that a plan keeps free.</summary>
/// <param name="Why">The reason it gives.</param>
/// <param name="Acts">The acts in which they are kept.</param>
/// <param name="Nodes">The channels, as nodes of the signal graph.</param>
/// <param name="Place">Where the plan says so.</param>
public sealed record Reservation(string Why, ActSet Acts, ImmutableArray<int> Nodes, Place Place);
