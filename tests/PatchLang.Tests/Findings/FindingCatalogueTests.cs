using System.Reflection;
using FluentAssertions;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Tests.Findings;

public sealed class FindingCatalogueTests
{
    [Fact]
    public void Lists_every_kind_that_is_declared()
    {
        var declared = typeof(FindingKind).Assembly.GetTypes()
            .SelectMany(t => t.GetFields(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic))
            .Where(f => f.FieldType == typeof(FindingKind))
            .Select(f => (FindingKind?)f.GetValue(null))
            .ToList();

        declared.Should().NotBeEmpty();
        FindingCatalogue.All.Should().BeEquivalentTo(declared);
    }

    [Fact]
    public void Stands_in_the_order_of_the_codes_and_none_is_given_twice() =>
        FindingCatalogue.All.Select(k => k.Code).Should().BeInAscendingOrder(StringComparer.Ordinal).And.OnlyHaveUniqueItems();

    [Fact]
    public void Finds_a_kind_by_its_code()
    {
        FindingCatalogue.Find("PL0301").Should().Be(ChannelFindings.PastEnd);
        FindingCatalogue.Find("PL9999").Should().BeNull();
    }
}
