using Grpc.Core;
using Reliability.Service.Hosting;
using Reliability.Service.Paging;
using Reliability.V1;
using Xunit;

namespace Reliability.Service.Tests.Paging;

/// <summary>A page token continues the question it came from, and no other.</summary>
public sealed class BoundTokenTests
{
    private static readonly ListModulesRequest Asked = new() { Filter = "state = RETIRED", PageSize = 10 };

    [Fact]
    public void It_gives_the_place_back_for_the_same_question()
    {
        var token = BoundToken.Make(Asked, "place");

        Assert.Equal("place", BoundToken.Read(Asked, token));
        // Page size and freshness may change between pages.
        var next = new ListModulesRequest(Asked) { PageSize = 50, PageToken = token, MinimumRevision = "r" };
        Assert.Equal("place", BoundToken.Read(next, token));
        Assert.Null(BoundToken.Read(Asked, string.Empty));
        Assert.Empty(BoundToken.Make(Asked, null));
    }

    [Fact]
    public void Another_question_or_another_list_is_refused()
    {
        var token = BoundToken.Make(Asked, "place");

        Refused(() => BoundToken.Read(new ListModulesRequest { Filter = "state = REMOVED" }, token));
        Refused(() => BoundToken.Read(new ListModuleModelsRequest(), token));
        Refused(() => BoundToken.Read(Asked, "short"));
    }

    [Theory]
    [InlineData(0, 100)]
    [InlineData(7, 7)]
    [InlineData(1_000, 1_000)]
    [InlineData(5_000, 1_000)]
    public void Sizes_have_a_default_and_a_limit(int asked, int expected)
    {
        Assert.Equal(expected, ListPage.Size(asked));
        Assert.Equal(Math.Min(asked == 0 ? 100 : asked, Limits.MaxLivesPageSize), ListPage.Size(asked, Limits.MaxLivesPageSize));
    }

    [Fact]
    public void A_short_list_is_paged_in_memory()
    {
        int[] all = [1, 2, 3, 4, 5];
        var request = new ListLifeModelsRequest { PageSize = 2 };
        var (first, token) = ListPage.Of(all, request, 2, string.Empty);
        var (second, next) = ListPage.Of(all, request, 2, token);
        var (third, last) = ListPage.Of(all, request, 2, next);

        Assert.Equal([1, 2, 3, 4, 5], first.Concat(second).Concat(third));
        Assert.Empty(last);
        Assert.Equal(5, ListPage.Of(all, request, 0, string.Empty).Items.Count);
        Refused(() => ListPage.Of(all, request, 2, BoundToken.Make(request, "99")));
    }

    private static void Refused(Action read) =>
        Assert.Equal(StatusCode.InvalidArgument, Assert.Throws<RpcException>(read).StatusCode);
}
